/*
 * A C99 client that puts one lift under several rule sets and asks where they part, and where single numbers come from.
 * tests/c/choice.cpp is the same as C++17.
 *
 *   choice DIRECTORY
 *
 * DIRECTORY holds the lift documents. A line is printed for what failed, then a closing line with the numbers; the exit
 * status is 1 when anything failed.
 */
#include "check.h"

#include <rigging.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* A yard of two rules; the factor is what differs between two editions. The yard and its figures are invented. */
static const char YARD[] =
    "format = 1\nname = \"yard-%s\"\ntitle = \"Instruction of a yard\"\nedition = \"%s\"\nstatus = \"in force\"\n"
    "[[source]]\nid = \"i\"\ndocument = \"Instruction 7\"\nedition = \"%s\"\nstanding = \"stated\"\n"
    "[[rule]]\nanswers = \"dynamic factor\"\nsymbol = \"k\"\nname = \"dynamic factor of the crane\"\nrelation = \"constant\"\n"
    "value = %s\nsource = \"i\"\nclause = \"3.2\"\n";

static char *whole(const char *directory, const char *name, size_t *length) {
    char path[1024];
    FILE *file;
    char *text = (char *)malloc(1 << 16);
    snprintf(path, sizeof path, "%s/%s", directory, name);
    file = fopen(path, "rb");
    *length = file != NULL && text != NULL ? fread(text, 1, 1 << 16, file) : 0;
    if (file != NULL) {
        fclose(file);
    }
    return text;
}

static rigging_rule_set *yard(const char *edition, const char *factor) {
    char text[1024];
    rigging_rule_set *rules = NULL;
    const int length = snprintf(text, sizeof text, YARD, edition, edition, edition, factor);
    CHECK(length > 0 && (size_t)length < sizeof text);
    CHECK(rigging_rule_set_from_toml(text, (size_t)length, &rules, NULL) == RIGGING_OK);
    return rules;
}

typedef int32_t (*printer)(const rigging_matrix *, char *, size_t, size_t *, rigging_error *);

static char *printed(printer print, const rigging_matrix *matrix) {
    size_t length = 0;
    char *text;
    CHECK(print(matrix, NULL, 0, &length, NULL) == RIGGING_OK);
    text = (char *)malloc(length + 1);
    CHECK(text != NULL && print(matrix, text, length + 1, &length, NULL) == RIGGING_OK);
    return text;
}

static char *origin(const rigging_assessment *assessment, const char *pointer) {
    size_t length = 0;
    char *text;
    CHECK(rigging_assessment_origin(assessment, pointer, strlen(pointer), NULL, 0, &length, NULL) == RIGGING_OK);
    text = (char *)malloc(length + 1);
    CHECK(text != NULL && rigging_assessment_origin(assessment, pointer, strlen(pointer), text, length + 1, &length, NULL) ==
                              RIGGING_OK);
    return text;
}

static void sets(const rigging_lift *lift) {
    rigging_rule_set *old = yard("2024", "1.10"), *present = yard("2025", "1.15");
    const rigging_rule_set *both[2];
    rigging_matrix *matrix = NULL;
    rigging_assessment *before = NULL, *after = NULL;
    rigging_answer *answer = NULL;
    rigging_text text = {NULL, 0};
    char *json, *report;
    both[0] = old;
    both[1] = present;
    CHECK(rigging_lift_matrix(lift, both, 2, &matrix, NULL) == RIGGING_OK && matrix != NULL);
    json = printed(rigging_matrix_to_json, matrix);
    CHECK(strstr(json, "\"between\":[\"yard-2024\",\"yard-2025\"]") != NULL);
    CHECK(strstr(json, "\"value\":1.1,") != NULL && strstr(json, "\"value\":1.15,") != NULL);
    report = printed(rigging_matrix_report, matrix);
    CHECK(strstr(report, "yard-2024 and yard-2025 part at") != NULL);
    CHECK(strstr(report, "Instruction 7 (2025), 3.2") != NULL);
    free(json);
    free(report);
    rigging_matrix_free(matrix);
    rigging_matrix_free(NULL);

    CHECK(rigging_lift_assess(lift, old, &before, NULL) == RIGGING_OK);
    CHECK(rigging_lift_assess(lift, present, &after, NULL) == RIGGING_OK);
    CHECK(rigging_assessment_partings(before, after, &answer, NULL) == RIGGING_OK);
    CHECK(rigging_answer_text(answer, &text, NULL) == RIGGING_OK && strstr(text.data, "\"symbol\":\"k\"") != NULL);
    rigging_answer_free(answer);
    answer = NULL;
    CHECK(rigging_assessment_partings(before, before, &answer, NULL) == RIGGING_OK);
    CHECK(rigging_answer_text(answer, &text, NULL) == RIGGING_OK && text.length == 2 && memcmp(text.data, "[]", 2) == 0);
    rigging_answer_free(answer);

    /* Hostile calls write nothing. */
    matrix = NULL;
    answer = NULL;
    CHECK(rigging_lift_matrix(lift, NULL, 0, &matrix, NULL) == RIGGING_INCONSISTENT && matrix == NULL);
    CHECK(rigging_lift_matrix(lift, NULL, 2, &matrix, NULL) == RIGGING_NULL_ARGUMENT && matrix == NULL);
    CHECK(rigging_lift_matrix(NULL, both, 2, &matrix, NULL) == RIGGING_NULL_ARGUMENT);
    both[1] = NULL;
    CHECK(rigging_lift_matrix(lift, both, 2, &matrix, NULL) == RIGGING_NULL_ARGUMENT && matrix == NULL);
    CHECK(rigging_lift_matrix(lift, both, 1, NULL, NULL) == RIGGING_NULL_ARGUMENT);
    CHECK(rigging_assessment_partings(before, NULL, &answer, NULL) == RIGGING_NULL_ARGUMENT && answer == NULL);
    rigging_assessment_free(before);
    rigging_assessment_free(after);
    rigging_rule_set_free(old);
    rigging_rule_set_free(present);
}

static void origins(const rigging_lift *lift) {
    static const char astray[] = "/findings/900/utilization";
    rigging_rule_set *rules = yard("2025", "1.15");
    rigging_assessment *assessment = NULL;
    rigging_error error;
    size_t length = 17;
    char text[4096];
    char *json;
    rigging_error_init(&error, sizeof error);
    CHECK(rigging_lift_assess(lift, rules, &assessment, NULL) == RIGGING_OK);
    json = origin(assessment, "/legs/1/worst");
    CHECK(strstr(json, "\"by\":\"becomes\"") != NULL && strstr(json, "\"clause\":\"3.2\"") != NULL);
    CHECK(strstr(json, "\"value\":1.15,") != NULL);
    free(json);
    CHECK(rigging_assessment_origin_text(assessment, "/legs/1/allowed", 15, text, sizeof text, &length, NULL) == RIGGING_OK);
    CHECK(strstr(text, "rated capacity of roundsling B") == text && strstr(text, "RS-") != NULL);
    length = 17;
    CHECK(rigging_assessment_origin(assessment, astray, sizeof astray - 1, NULL, 0, &length, &error) == RIGGING_MALFORMED);
    CHECK(length == 17 && strcmp(error.place, astray) == 0 && strstr(error.message, "/findings/0/utilization") != NULL);
    CHECK(rigging_assessment_origin(assessment, NULL, 4, NULL, 0, &length, NULL) == RIGGING_NULL_ARGUMENT);
    CHECK(rigging_assessment_origin(assessment, "\xff", 1, NULL, 0, &length, NULL) == RIGGING_NOT_UTF8);
    rigging_assessment_free(assessment);
    rigging_rule_set_free(rules);
}

int main(int count, char **arguments) {
    size_t length = 0;
    char *text;
    rigging_lift *lift = NULL;
    if (count < 2) {
        printf("usage: choice DIRECTORY\n");
        return 1;
    }
    text = whole(arguments[1], "generator-skid-round-edge.json", &length);
    CHECK(length > 0 && rigging_lift_from_json(text, length, &lift, NULL) == RIGGING_OK);
    free(text);
    sets(lift);
    origins(lift);
    rigging_lift_free(lift);
    printf("%d passed, %d failed\n", passed, failed);
    return failed == 0 ? 0 : 1;
}
