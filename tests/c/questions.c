/*
 * A C99 client that asks every question about a balance, and some of a sample, and holds each answer against a number that
 * follows by hand. tests/c/questions.cpp is the same as C++17.
 *
 *   questions DIRECTORY
 *
 * DIRECTORY holds the lift documents. A line is printed for what failed, then a closing line with the numbers; the exit
 * status is 1 when anything failed.
 */
#include "check.h"

#include <math.h>
#include <rigging.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const double G = 9.80665;

/*
 * Two plumb grommets of 3 m, 4 m apart, under two hooks; 8 t in the middle, its center of gravity 1 m below its lugs. Each
 * part has an EA of 1.2 MN, so each grommet one of 2.4 MN.
 */
static const char PLUMB[] =
    "{\"format\": 1, \"name\": \"beam on two plumb grommets\", \"gravity\": \"9.80665 m/s2\","
    "\"load\": {\"name\": \"beam\", \"mass\": {\"value\": \"8 t\", \"basis\": \"weighed\"},"
    "  \"center_of_gravity\": {\"position\": [\"0 m\", \"0 m\", \"-1 m\"]},"
    "  \"lift_points\": [{\"name\": \"E\", \"position\": [\"2 m\", \"0 m\", \"0 m\"]},"
    "                    {\"name\": \"W\", \"position\": [\"-2 m\", \"0 m\", \"0 m\"]}]},"
    "\"hooks\": [{\"name\": \"hook E\", \"position\": [\"2 m\", \"0 m\", \"3 m\"]},"
    "            {\"name\": \"hook W\", \"position\": [\"-2 m\", \"0 m\", \"3 m\"]}],"
    "\"slings\": [{\"name\": \"grommet E\", \"construction\": \"grommet\", \"material\": \"polyester\", \"mass\": \"10 kg\","
    "   \"stiffness\": {\"law\": {\"ea\": \"1.2 MN\"}, \"basis\": \"part\"},"
    "   \"length\": {\"value\": \"3 m\", \"measured\": \"bearing_to_bearing\"}},"
    "  {\"name\": \"grommet W\", \"construction\": \"grommet\", \"material\": \"polyester\", \"mass\": \"10 kg\","
    "   \"stiffness\": {\"law\": {\"ea\": \"1.2 MN\"}, \"basis\": \"part\"},"
    "   \"length\": {\"value\": \"3 m\", \"measured\": \"bearing_to_bearing\"}}],"
    "\"legs\": [{\"name\": \"leg E\", \"hitch\": \"straight\", \"path\": [{\"end\": \"hook E\"}, {\"end\": \"E\"}],"
    "   \"items\": [\"grommet E\"]},"
    "  {\"name\": \"leg W\", \"hitch\": \"straight\", \"path\": [{\"end\": \"hook W\"}, {\"end\": \"W\"}],"
    "   \"items\": [\"grommet W\"]}]}";
static const double WEIGHT = 8e3 * 9.80665;
static const double SLING_EA = 2.4e6;

static void near_by(double told, double expected, double share, int line) {
    if (!(fabs(told - expected) <= share * fabs(expected))) {
        printf("%s:%d: %.12g, expected %.12g within %g of it\n", __FILE__, line, told, expected, share);
    }
    check(fabs(told - expected) <= share * fabs(expected), line, "a number");
}
#define NEAR(told, expected, share) near_by(told, expected, share, __LINE__)

/* The text of an answer; every question goes through here, so that each status is looked at and each answer freed. */
typedef struct told {
    char *text;
} told;

static told take(int32_t status, rigging_answer *answer, int line) {
    told one = {NULL};
    rigging_text text = {NULL, 0};
    check(status == RIGGING_OK && answer != NULL, line, "an answer");
    if (answer != NULL && rigging_answer_text(answer, &text, NULL) == RIGGING_OK) {
        one.text = (char *)malloc(text.length + 1);
        if (one.text != NULL) {
            memcpy(one.text, text.data, text.length);
            one.text[text.length] = '\0';
        }
    }
    rigging_answer_free(answer);
    return one;
}
static rigging_answer *answer;
static int32_t last;
#define TAKE(call) (answer = NULL, last = (call), take(last, answer, __LINE__))

/* What stands behind the key, where it stands for the time given (0 is the first); NULL if it does not. */
static const char *behind(const told *one, const char *key, int time) {
    char quoted[64];
    const char *at = one->text;
    snprintf(quoted, sizeof quoted, "\"%s\":", key);
    while (at != NULL && (at = strstr(at, quoted)) != NULL) {
        at += strlen(quoted);
        if (time-- == 0) {
            return at;
        }
    }
    return NULL;
}

/* A number behind a key, or in the list behind it; NaN where there is none. */
static double number(const told *one, const char *key, int time, int index) {
    const char *at = behind(one, key, time);
    char *end = NULL;
    double value = NAN;
    while (at != NULL && *at == '[') {
        at++;
    }
    for (; at != NULL && index >= 0; index--) {
        value = strtod(at, &end);
        if (end == at) {
            return NAN;
        }
        at = *end == ',' ? end + 1 : end;
    }
    return value;
}

static int says(const told *one, const char *words) {
    return one->text != NULL && strstr(one->text, words) != NULL;
}

static void done(told *one) {
    free(one->text);
    one->text = NULL;
}

static rigging_balance *hang(const char *text, size_t length) {
    rigging_lift *lift = NULL;
    rigging_balance *balance = NULL;
    rigging_error error;
    rigging_error_init(&error, sizeof error);
    if (rigging_lift_from_json(text, length, &lift, &error) != RIGGING_OK ||
        rigging_lift_hang(lift, &balance, &error) != RIGGING_OK) {
        printf("%s: %s\n", error.place, error.message);
    }
    CHECK(balance != NULL);
    rigging_lift_free(lift);
    return balance;
}

static char text[1 << 17];

/* A document of the demos; its length. */
static size_t read_file(const char *directory, const char *name) {
    char path[4096];
    size_t length = 0;
    FILE *file;
    snprintf(path, sizeof path, "%s/%s", directory, name);
    file = fopen(path, "rb");
    CHECK(file != NULL);
    if (file != NULL) {
        length = fread(text, 1, sizeof text, file);
        fclose(file);
    }
    return length;
}

static rigging_balance *hang_file(const char *directory, const char *name) {
    return hang(text, read_file(directory, name));
}

/* What one grommet has under a load, N: dT/dl from its own stretch, and how the whole turns when one has more. */
static void plumb_grommets(void) {
    rigging_balance *balance = hang(PLUMB, sizeof PLUMB - 1);
    const double half = WEIGHT / 2.0, length = 3.0 * (1.0 + half / SLING_EA);
    /* Two parts of half the stiffness each: a center of gravity 1 m below turns back what unequal stretch turns. */
    const double turned_back = 1.0 + WEIGHT * 3.0 / (8.0 * SLING_EA);
    const double pi = 3.14159265358979323846;
    static const char inputs[] =
        "{\"inertias\": [{\"moments\": [3000, 12000, 12000]}],"
        " \"excitations\": [{\"name\": \"waves\", \"shortest\": 3.4, \"longest\": 3.6, \"source\": \"invented\"}]}";
    double allowed[2] = {1e5, 1e5};
    double tensions[2] = {0.0, 0.0};
    rigging_certificate *certificate = NULL;
    rigging_member member;
    told one;

    rigging_member_init(&member, sizeof member);
    CHECK(rigging_balance_certificate(balance, &certificate, NULL) == RIGGING_OK);
    CHECK(rigging_certificate_tensions(certificate, tensions, 2, NULL) == RIGGING_OK);
    CHECK(rigging_certificate_member(certificate, 0, &member, NULL) == RIGGING_OK);
    NEAR(tensions[0], half, 1e-9);
    NEAR(member.length_m, length, 1e-9);
    rigging_certificate_free(certificate);

    one = TAKE(rigging_balance_derivatives(balance, &answer, NULL));
    CHECK(says(&one, "\"parameter\":\"center_of_gravity\",\"item\":\"beam\",\"axis\":\"x\""));
    NEAR(number(&one, "tensions", 4, 0), WEIGHT / 4.0 / turned_back, 1e-6);
    NEAR(number(&one, "tensions", 4, 1), -WEIGHT / 4.0 / turned_back, 1e-6);
    NEAR(number(&one, "tensions", 7, 0), G / 2.0, 1e-9); /* by mass */
    done(&one);

    one = TAKE(rigging_balance_margins(balance, &answer, NULL));
    /* Up to the line of the lugs; to the side until one grommet carries all, its stretch turning the beam. */
    NEAR(number(&one, "before", 0, 0), 1.0, 1e-5);
    NEAR(number(&one, "before", 1, 0), 2.0 + WEIGHT * 3.0 / SLING_EA / 4.0, 1e-4);
    done(&one);

    one = TAKE(rigging_balance_losses(balance, allowed, 2, &answer, NULL));
    NEAR(number(&one, "after", 0, 0), WEIGHT, 1e-9);
    NEAR(number(&one, "utilization", 0, 0), WEIGHT / 1e5, 1e-9);
    NEAR(number(&one, "tilt", 0, 0), atan(2.0), 1e-6);
    NEAR(number(&one, "recoil", 0, 0), half * half * 3.0 / (2.0 * SLING_EA), 1e-6);
    CHECK(number(&one, "bound", 0, 0) >= number(&one, "peak", 0, 0) && number(&one, "peak", 0, 0) > WEIGHT);
    done(&one);

    one = TAKE(rigging_balance_motions(balance, &answer, NULL));
    CHECK(one.text != NULL && strcmp(one.text, "[]") == 0); /* two plumb lines resist every motion by weight */
    done(&one);

    one = TAKE(rigging_balance_modes(balance, 6, &answer, NULL));
    /* Along the line of the lugs it swings as one pendulum, and up and down it bounces on both. */
    NEAR(number(&one, "stiffness", 2, 0), WEIGHT / length, 1e-2);
    NEAR(number(&one, "stiffness", 5, 0), 2.0 * SLING_EA / 3.0, 1e-9);
    done(&one);

    one = TAKE(rigging_balance_periods(balance, inputs, sizeof inputs - 1, 6, &answer, NULL));
    NEAR(number(&one, "period", 1, 0), 2.0 * pi * sqrt(length / G), 5e-3);
    NEAR(number(&one, "period", 2, 0), 2.0 * pi * sqrt(12000.0 * length / (WEIGHT * 4.0)), 1e-6); /* bifilar yaw */
    NEAR(number(&one, "period", 4, 0), 2.0 * pi * sqrt(8000.0 / (2.0 * SLING_EA / 3.0)), 1e-9);
    CHECK(says(&one, "\"excited_by\":[\"waves\"]"));
    done(&one);

    one = TAKE(rigging_balance_own_weight(balance, &answer, NULL));
    NEAR(number(&one, "hooks", 0, 0), half + 10.0 * G, 1e-9);
    NEAR(number(&one, "upper", 0, 0) - number(&one, "lower", 0, 0), 10.0 * G, 1e-6);
    NEAR(number(&one, "tension", 0, 0), half + 5.0 * G, 1e-6); /* half of a grommet hangs at its lower end */
    done(&one);
    rigging_balance_free(balance);
}

/* The upper slings of the panel stand in pairs side by side: only these must match, and share a misfit by halves. */
static void matching(const char *directory) {
    rigging_balance *balance = hang_file(directory, "panel-spreader.json");
    double errors[8] = {0.004, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0};
    const double per_length = 20e6 / 9.0 / 2.0;
    told one = TAKE(rigging_balance_self_stress(balance, 1e-9, &answer, NULL));
    NEAR(number(&one, "states", 0, 0), 2.0, 0.0);
    CHECK(says(&one, "\"groups\":[[\"upper 1\",\"upper 2\"],[\"upper 3\",\"upper 4\"]]"));
    NEAR(number(&one, "tension_per_length", 0, 0), -per_length, 1e-6);
    NEAR(number(&one, "tension_per_length", 0, 1), per_length, 1e-6);
    done(&one);
    one = TAKE(rigging_balance_order(balance, errors, 8, 1e-9, &answer, NULL));
    NEAR(number(&one, "before", 0, 0), 0.004 * per_length, 1e-6);
    NEAR(number(&one, "after", 0, 0), 0.004 * per_length, 1e-6); /* it is one of a pair wherever it hangs */
    done(&one);
    rigging_balance_free(balance);
}

/* The skid by hand: a weight over so many legs at one angle; levers in plan. */
static void sharing(const char *directory) {
    rigging_lift *lift = NULL;
    const double weight = 18.5e3 * G, angle = 0.48;
    told one;
    CHECK(rigging_lift_from_json(text, read_file(directory, "generator-skid.json"), &lift, NULL) == RIGGING_OK);
    one = TAKE(rigging_lift_compare_sharing(lift, &angle, &answer, NULL));
    NEAR(number(&one, "weight", 0, 0), weight, 1e-12);
    NEAR(number(&one, "forces", 0, 0), weight / 4.0 / cos(angle), 1e-12);
    NEAR(number(&one, "forces", 1, 1), weight / 3.0 / cos(angle), 1e-12);
    NEAR(number(&one, "forces", 2, 2), weight / 2.0 / cos(angle), 1e-12);
    NEAR(number(&one, "forces", 3, 1), weight * (3.05 / 5.2) * (1.17 / 2.1) / cos(angle), 1e-12);
    CHECK(says(&one, "\"refuses\":{\"code\":\"out_of_domain\""));
    done(&one);
    rigging_lift_free(lift);
}

/* The doubled sling: an ellipse without friction, the capstan relation at its limits. */
static void running(const char *directory) {
    rigging_balance *balance = hang_file(directory, "pump-doubled-sling.json");
    told one = TAKE(rigging_balance_running(balance, &answer, NULL));
    const double weight = 6.4e3 * G, pull = number(&one, "frictionless", 1, 0);
    const double whole = 6.0 * (1.0 + pull / 6e6);
    NEAR(pull, weight / (2.0 * sqrt(1.0 - 1.8 * 1.8 / (whole * whole))), 1e-3);
    NEAR(number(&one, "frictionless", 2, 0), pull, 1e-9);
    NEAR(number(&one, "largest", 0, 0) / number(&one, "least", 1, 0), exp(0.16 * number(&one, "turn", 0, 0)), 5e-3);
    NEAR(number(&one, "pull", 0, 0), weight, 1e-9);
    CHECK(says(&one, "\"sliding\":\"holds\""));
    done(&one);
    rigging_balance_free(balance);
}

static void tolerances(const char *directory) {
    static const char mass[] =
        "{\"lengths\": [0, 0, 0, 0], \"center_of_gravity\": [0, 0, 0], \"stiffness\": [0, 0, 0, 0], \"mass\": 0.03}";
    rigging_balance *balance = hang_file(directory, "generator-skid.json");
    double longer[4] = {0.01, 0.0, 0.01, 0.0}, stiffer[4] = {0.0, 0.0, 0.0, 0.0};
    const double weight = 18.5e3 * G, limit = 1.25;
    double within, beyond;
    char inputs[256];
    told one = TAKE(rigging_balance_worst(balance, mass, sizeof mass - 1, &answer, NULL));
    int leg;
    for (leg = 0; leg < 5; leg++) { /* the fifth is the hook */
        const double most = number(&one, "attained", leg, 0);
        NEAR(most / number(&one, "nominal", leg, 0), 1.03, 5e-3); /* four elastic legs share a little otherwise */
        CHECK(number(&one, "bound", leg, 0) >= most && number(&one, "bound", leg, 0) <= 1.01 * most);
    }
    NEAR(number(&one, "attained", 4, 0), 1.03 * weight, 1e-9);
    done(&one);

    one = TAKE(rigging_balance_common_tolerance(balance, RIGGING_MEASURE_OWN, limit, 0.05, mass, sizeof mass - 1, &answer, NULL));
    within = number(&one, "keeps", 0, 0);
    beyond = number(&one, "exceeds", 0, 0);
    CHECK(within > 0.0 && beyond > within && beyond < 0.05);
    done(&one);
    /* Up to the one the limit is proven to hold; at the other it is found exceeded. */
    snprintf(inputs, sizeof inputs, "{\"lengths\": [%.17g, %.17g, %.17g, %.17g], %s", within, within, within, within, strchr(mass, 'c') - 1);
    one = TAKE(rigging_balance_worst(balance, inputs, strlen(inputs), &answer, NULL));
    CHECK(number(&one, "bound", 5, 0) <= limit * 1.01);
    CHECK(number(&one, "attained", 5, 0) <= limit && number(&one, "attained", 5, 0) > 0.95 * limit);
    done(&one);
    snprintf(inputs, sizeof inputs, "{\"lengths\": [%.17g, %.17g, %.17g, %.17g], %s", beyond, beyond, beyond, beyond, strchr(mass, 'c') - 1);
    one = TAKE(rigging_balance_worst(balance, inputs, strlen(inputs), &answer, NULL));
    CHECK(number(&one, "attained", 5, 0) > limit * (1.0 - 1e-9));
    done(&one);

    one = TAKE(rigging_balance_arrange(balance, longer, stiffer, 4, &answer, NULL));
    NEAR(number(&one, "orders", 0, 0), 24.0, 0.0);
    /* Two long slings opposite each other load the other two; side by side they tilt the skid and no more. */
    CHECK(number(&one, "before", 0, 0) > 1.1 && number(&one, "after", 0, 0) < 1.01);
    done(&one);

    /* Upside down, the center of gravity is as far below the lugs as it stands above them now. */
    one = TAKE(rigging_balance_others(balance, &answer, NULL));
    CHECK(says(&one, "\"state\":\"lost\""));
    NEAR(number(&one, "energy", 0, 0), -weight * 2.0 * 0.9, 1e-2);
    CHECK(number(&one, "pass", 0, 0) > 0.0);
    done(&one);
    rigging_balance_free(balance);
}

/* Four equal legs under a weight that scatters normally by 5 %: what each bears scatters alike. */
static void sample(void) {
    enum { ROWS = 4000 };
    static const double points[12] = {1, 1, 0, 1, -1, 0, -1, -1, 0, -1, 1, 0};
    static const double lengths[4] = {2.8, 2.8, 2.8, 2.8}, ea[4] = {5e6, 5e6, 5e6, 5e6}, center[3] = {0, 0, -0.7};
    static const int32_t input[1] = {RIGGING_INPUT_WEIGHT}, distribution[1] = {RIGGING_DISTRIBUTION_NORMAL};
    static const size_t index[1] = {0}, parameters_of[1] = {2};
    static const double parameters[2] = {1e5, 5e3};
    static double tensions[4 * ROWS], tilts[ROWS], first[ROWS];
    static int32_t statuses[ROWS], states[ROWS];
    const double two_sigma = 0.022750131948179; /* a normal number above its mean by two standard deviations */
    rigging_experiment *experiment = NULL;
    double mean = 1e5 / 4.0, limits[4], value = 0, least = 0, most = 0, reliability = 0, probability = 0, error = 0;
    double lower[4], upper[4];
    uint64_t exceeding[4];
    int round, row, leg;
    /* T = (W/4)·l/√(l² − r²) with the stretched length l. */
    for (round = 0; round < 50; round++) {
        const double l = 2.8 * (1.0 + mean / 5e6);
        mean = 1e5 / 4.0 * l / sqrt(l * l - 2.0);
    }
    CHECK(rigging_experiment_new(4, points, lengths, ea, center, 1e5, 1, input, index, distribution, parameters_of, 2,
                                 parameters, 7, &experiment, NULL) == RIGGING_OK);
    CHECK(rigging_experiment_draw(experiment, 0, ROWS, 1, tensions, tilts, statuses, states, NULL) == RIGGING_OK);
    for (row = 0; row < ROWS; row++) {
        first[row] = tensions[4 * row];
    }
    CHECK(rigging_sample_quantile(ROWS, first, 0.5, 0.999, &value, &least, &most, NULL) == RIGGING_OK);
    CHECK(least <= mean && mean <= most && least <= value && value <= most);
    NEAR(value, mean, 1e-2);
    for (leg = 0; leg < 4; leg++) {
        limits[leg] = 1.1 * mean;
    }
    CHECK(rigging_sample_exceedance(4, ROWS, tensions, limits, 0.999, exceeding, lower, upper, NULL) == RIGGING_OK);
    CHECK(lower[2] <= two_sigma && two_sigma <= upper[2]);
    NEAR((double)exceeding[2] / ROWS, two_sigma, 0.3);
    /* Longer legs under more weight stand steeper: tensions grow a little less than the weight. */
    CHECK(rigging_experiment_first_order(experiment, 0, limits[0], &reliability, &probability, NULL) == RIGGING_OK);
    NEAR(reliability, 2.0, 1e-2);
    NEAR(probability, two_sigma, 5e-2);
    for (leg = 0; leg < 4; leg++) {
        limits[leg] = 1.2 * mean;
    }
    CHECK(rigging_experiment_rare(experiment, 4, limits, 1000, 10, 1, &probability, &error, &reliability, NULL) == RIGGING_OK);
    NEAR(reliability, 4.0, 2e-2);
    CHECK(error > 0.0 && fabs(probability - 3.1671e-5) < 6.0 * error);
    rigging_experiment_free(experiment);
}

int main(int count, char **arguments) {
    if (count < 2) {
        printf("usage: questions DIRECTORY\n");
        return 1;
    }
    plumb_grommets();
    matching(arguments[1]);
    sharing(arguments[1]);
    running(arguments[1]);
    tolerances(arguments[1]);
    sample();
    printf("%d passed, %d failed\n", passed, failed);
    return failed == 0 ? 0 : 1;
}
