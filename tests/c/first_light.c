/*
 * A C99 client of the library that does the main job: it reads the demo lifts, hangs them, assesses them under the US
 * rules and prints what each gives. Tensions are compared bit for bit with those of Rust.
 *
 *   first_light DIRECTORY EXPECTED
 *
 * DIRECTORY holds the lift documents, EXPECTED what Rust makes of them (its own head says how to read it). A line is
 * printed for what failed, then a closing line with the numbers; the exit status is 1 when anything failed.
 */
#include "check.h"

#include <math.h>
#include <rigging.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_LEGS = 64, LINE = 1024 };

/* A whole file, ended by a zero byte; NULL when it cannot be read. */
static char *read_file(const char *directory, const char *name) {
    char path[LINE];
    FILE *file;
    char *text = NULL;
    long size;
    snprintf(path, sizeof path, "%s/%s", directory, name);
    file = fopen(path, "rb");
    if (file == NULL) {
        return NULL;
    }
    if (fseek(file, 0, SEEK_END) == 0 && (size = ftell(file)) >= 0 && fseek(file, 0, SEEK_SET) == 0) {
        text = malloc((size_t)size + 1);
        if (text != NULL) {
            text[fread(text, 1, (size_t)size, file)] = '\0';
        }
    }
    fclose(file);
    return text;
}

/* What Rust makes of one lift. */
typedef struct expected {
    char document[LINE];
    int32_t verdict;
    size_t legs;
    uint64_t tensions[MOST_LEGS];
    char report[LINE];
} expected;

/* Reads the next lift; 0 at the end of the file. A record ends with its line "report". */
static int next(FILE *file, expected *one) {
    char line[LINE];
    one->document[0] = '\0';
    one->verdict = -1;
    one->legs = 0;
    while (fgets(line, sizeof line, file) != NULL) {
        unsigned long long bits = 0;
        int verdict = 0;
        line[strcspn(line, "\n")] = '\0';
        if (strncmp(line, "lift ", 5) == 0) {
            strcpy(one->document, line + 5);
        } else if (sscanf(line, "verdict %d", &verdict) == 1) {
            one->verdict = verdict;
        } else if (sscanf(line, "tension %llx", &bits) == 1 && one->legs < MOST_LEGS) {
            one->tensions[one->legs++] = bits;
        } else if (strncmp(line, "report ", 7) == 0) {
            strcpy(one->report, line + 7);
            return 1;
        }
    }
    return 0;
}

static int same_bits(double value, uint64_t bits) {
    uint64_t own;
    memcpy(&own, &value, sizeof own);
    return own == bits;
}

static int is(rigging_text text, const char *word) {
    return text.length == strlen(word) && memcmp(text.data, word, text.length) == 0;
}

static void hang(const rigging_lift *lift, const expected *one) {
    rigging_error error;
    rigging_certificate *certificate = NULL;
    rigging_certificate_figures figures;
    rigging_pose pose;
    double tensions[MOST_LEGS];
    double eigenvalues[3];
    size_t leg;
    rigging_error_init(&error, sizeof error);
    rigging_certificate_figures_init(&figures, sizeof figures);
    rigging_pose_init(&pose, sizeof pose);

    CHECK(rigging_lift_solve(lift, &certificate, &error) == RIGGING_OK);
    CHECK(rigging_certificate_tell(certificate, &figures, &error) == RIGGING_OK);
    CHECK(figures.state == RIGGING_STATE_STABLE && figures.negative_modes == 0 && figures.null_modes == 1);
    CHECK(figures.residual_over_weight < 1e-10 && figures.iterations > 0);
    CHECK(figures.has_nearest_slack_event == 1 && figures.nearest_slack_member < figures.member_count);
    CHECK(figures.nearest_slack_distance_m > 0.0);
    CHECK(figures.member_count == one->legs && one->legs == 4);
    CHECK(rigging_certificate_tensions(certificate, tensions, one->legs, &error) == RIGGING_OK);
    for (leg = 0; leg < one->legs; leg++) {
        CHECK(same_bits(tensions[leg], one->tensions[leg]));
    }
    CHECK(rigging_certificate_pose(certificate, 0, &pose, &error) == RIGGING_OK);
    CHECK(pose.tilt_rad > 0.05 && pose.tilt_rad < 0.15);
    CHECK(figures.eigenvalue_count == 3);
    CHECK(rigging_certificate_eigenvalues(certificate, eigenvalues, 3, &error) == RIGGING_OK);
    CHECK(eigenvalues[0] > 0.0 && eigenvalues[0] <= eigenvalues[1] && eigenvalues[1] <= eigenvalues[2]);

    /* An array of another size is refused, and nothing is written. */
    tensions[0] = -1.0;
    CHECK(rigging_certificate_tensions(certificate, tensions, one->legs - 1, &error) == RIGGING_WRONG_COUNT);
    CHECK(rigging_certificate_tensions(certificate, tensions, MOST_LEGS, &error) == RIGGING_WRONG_COUNT);
    CHECK(tensions[0] == -1.0);
    rigging_certificate_free(certificate);
}

/* The tensions that were published with the skid's geometry, to the last printed digit. */
static void published(const rigging_lift *lift) {
    static const double kilonewtons[4] = {54.205, 69.116, 47.606, 32.641};
    rigging_certificate *certificate = NULL;
    rigging_pose pose;
    double tensions[4];
    size_t leg;
    rigging_pose_init(&pose, sizeof pose);
    CHECK(rigging_lift_solve(lift, &certificate, NULL) == RIGGING_OK);
    CHECK(rigging_certificate_tensions(certificate, tensions, 4, NULL) == RIGGING_OK);
    for (leg = 0; leg < 4; leg++) {
        CHECK(fabs(tensions[leg] / 1e3 - kilonewtons[leg]) <= 0.0005);
    }
    CHECK(rigging_certificate_pose(certificate, 0, &pose, NULL) == RIGGING_OK);
    CHECK(fabs(pose.tilt_rad * 180.0 / 3.14159265358979323846 - 6.423) <= 0.0005);
    rigging_certificate_free(certificate);
}

static void assess(const rigging_lift *lift, const rigging_rule_set *rules, const expected *one) {
    rigging_error error;
    rigging_assessment *assessment = NULL;
    rigging_rule_set_identity identity;
    rigging_leg leg;
    size_t count = 0;
    size_t length = 0;
    int32_t verdict = -1;
    char *report = NULL;
    rigging_error_init(&error, sizeof error);
    rigging_rule_set_identity_init(&identity, sizeof identity);
    rigging_leg_init(&leg, sizeof leg);

    CHECK(rigging_lift_assess(lift, rules, &assessment, &error) == RIGGING_OK);
    CHECK(rigging_assessment_verdict(assessment, &verdict, &error) == RIGGING_OK);
    CHECK(verdict == one->verdict);
    CHECK(rigging_assessment_rule_set(assessment, &identity, &error) == RIGGING_OK);
    CHECK(is(identity.name, "us-general") && identity.hash.length == 64);
    CHECK(rigging_assessment_leg_count(assessment, &count, &error) == RIGGING_OK && count == one->legs);
    CHECK(rigging_assessment_leg(assessment, 1, &leg, &error) == RIGGING_OK);
    CHECK(is(leg.name, "leg B") && same_bits(leg.nominal_n, one->tensions[1]) && leg.worst_n > leg.nominal_n);
    CHECK(leg.has_allowed == 1 && leg.has_utilization == 1);
    CHECK((leg.utilization > 1.0) == (verdict == RIGGING_VERDICT_FAIL));
    CHECK(rigging_assessment_leg(assessment, count, &leg, &error) == RIGGING_NO_SUCH_ITEM);

    CHECK(rigging_assessment_report(assessment, NULL, 0, &length, &error) == RIGGING_OK);
    report = malloc(length + 1);
    if (report != NULL) {
        CHECK(rigging_assessment_report(assessment, report, length + 1, &length, &error) == RIGGING_OK);
        CHECK(strlen(report) == length);
        CHECK(strncmp(report, one->report, strlen(one->report)) == 0 && report[strlen(one->report)] == '\n');
    }
    CHECK(report != NULL);
    free(report);
    rigging_assessment_free(assessment);
}

/* The same text comes back as the same lift. */
static void round_trip(const rigging_lift *lift) {
    rigging_lift *again = NULL;
    size_t length = 0;
    size_t second = 0;
    char *text = NULL;
    CHECK(rigging_lift_to_json(lift, NULL, 0, &length, NULL) == RIGGING_OK);
    text = malloc(length + 1);
    if (text == NULL) {
        CHECK(text != NULL);
        return;
    }
    CHECK(rigging_lift_to_json(lift, text, length, &length, NULL) == RIGGING_BUFFER_TOO_SMALL);
    CHECK(rigging_lift_to_json(lift, text, length + 1, &length, NULL) == RIGGING_OK);
    CHECK(rigging_lift_from_json(text, length, &again, NULL) == RIGGING_OK);
    CHECK(rigging_lift_to_json(again, NULL, 0, &second, NULL) == RIGGING_OK && second == length);
    rigging_lift_free(again);
    free(text);
}

static void rule_sets(void) {
    rigging_error error;
    rigging_rule_set *rules = NULL;
    rigging_rule_set_identity identity;
    rigging_text name;
    size_t index;
    rigging_error_init(&error, sizeof error);
    rigging_rule_set_identity_init(&identity, sizeof identity);
    CHECK(rigging_rule_set_built_in_count() >= 2);
    for (index = 0; index < rigging_rule_set_built_in_count(); index++) {
        CHECK(rigging_rule_set_built_in_name(index, &name, &error) == RIGGING_OK);
        CHECK(rigging_rule_set_built_in(name.data, name.length, &rules, &error) == RIGGING_OK);
        CHECK(rigging_rule_set_identify(rules, &identity, &error) == RIGGING_OK);
        CHECK(identity.name.length == name.length && memcmp(identity.name.data, name.data, name.length) == 0);
        CHECK(identity.title.length > 0 && identity.edition.length > 0 && identity.status.length > 0);
        rigging_rule_set_free(rules);
    }
    CHECK(rigging_rule_set_built_in_name(index, &name, &error) == RIGGING_NO_SUCH_ITEM);
    CHECK(rigging_rule_set_built_in("us-generl", 9, &rules, &error) == RIGGING_UNKNOWN_NAME);
    CHECK(strstr(error.message, "us-general") != NULL);
    CHECK(rigging_rule_set_from_toml("format = 1\nnam = \"x\"\n", 21, &rules, &error) == RIGGING_UNKNOWN_KEY);
    CHECK(strstr(error.message, "\"nam\"") != NULL);
}

/* An error says what and where; a missing input is an error of a solve, and "cannot conclude" of an assessment. */
static void refusals(const char *directory, const rigging_rule_set *rules) {
    static const char mistyped[] = "{\"format\": 1, \"name\": \"x\", \"gravty\": \"9.81 m/s2\"}";
    static const char mass[] = "\"18.5 t\"";
    static const char unknown[] = "\"unknown\"";
    rigging_error error;
    rigging_lift *lift = NULL;
    rigging_certificate *certificate = NULL;
    rigging_assessment *assessment = NULL;
    int32_t verdict = -1;
    char *text = read_file(directory, "generator-skid-round-edge.json");
    char *found = NULL;
    char *changed = NULL;
    rigging_error_init(&error, sizeof error);
    CHECK(rigging_lift_from_json(mistyped, sizeof mistyped - 1, &lift, &error) == RIGGING_UNKNOWN_KEY);
    CHECK(lift == NULL && error.code == RIGGING_UNKNOWN_KEY);
    CHECK(strcmp(error.place, "/gravty") == 0 && strstr(error.message, "gravity") != NULL);

    found = text == NULL ? NULL : strstr(text, mass);
    changed = malloc((text == NULL ? 0 : strlen(text)) + sizeof unknown);
    CHECK(found != NULL && changed != NULL);
    if (found != NULL && changed != NULL) {
        sprintf(changed, "%.*s%s%s", (int)(found - text), text, unknown, found + sizeof mass - 1);
        CHECK(rigging_lift_from_json(changed, strlen(changed), &lift, &error) == RIGGING_OK);
        CHECK(rigging_lift_solve(lift, &certificate, &error) == RIGGING_MISSING && certificate == NULL);
        CHECK(strcmp(error.place, "/load/mass/value") == 0);
        CHECK(rigging_lift_assess(lift, rules, &assessment, &error) == RIGGING_OK);
        CHECK(rigging_assessment_verdict(assessment, &verdict, &error) == RIGGING_OK);
        CHECK(verdict == RIGGING_VERDICT_CANNOT_CONCLUDE);
        CHECK(rigging_assessment_nominal(assessment, &certificate, &error) == RIGGING_NO_SUCH_ITEM);
        rigging_assessment_free(assessment);
        rigging_lift_free(lift);
    }
    free(changed);
    free(text);
}

int main(int count, char **arguments) {
    static const int32_t verdicts[3] = {RIGGING_VERDICT_CANNOT_CONCLUDE, RIGGING_VERDICT_PASS, RIGGING_VERDICT_FAIL};
    rigging_rule_set *rules = NULL;
    expected one;
    size_t lifts = 0;
    FILE *file = count >= 3 ? fopen(arguments[2], "r") : NULL;
    if (file == NULL) {
        printf("usage: first_light DIRECTORY EXPECTED\n");
        return 1;
    }
    CHECK(rigging_abi_version() == RIGGING_ABI_VERSION);
    CHECK(rigging_rule_set_built_in("us-general", 10, &rules, NULL) == RIGGING_OK);
    while (next(file, &one)) {
        rigging_lift *lift = NULL;
        char *text = read_file(arguments[1], one.document);
        CHECK(text != NULL);
        CHECK(text != NULL && rigging_lift_from_json(text, strlen(text), &lift, NULL) == RIGGING_OK);
        free(text);
        if (lift != NULL) {
            CHECK(lifts < 3 && one.verdict == verdicts[lifts]);
            hang(lift, &one);
            if (one.verdict != RIGGING_VERDICT_FAIL) { /* the failing one has slings of another stiffness */
                published(lift);
            }
            assess(lift, rules, &one);
            round_trip(lift);
        }
        rigging_lift_free(lift);
        lifts++;
    }
    CHECK(lifts == 3);
    fclose(file);
    rule_sets();
    refusals(arguments[1], rules);
    rigging_rule_set_free(rules);
    printf("%d passed, %d failed\n", passed, failed);
    return failed == 0 ? 0 : 1;
}
