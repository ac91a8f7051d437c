/*
 * A C99 client with sharing rules of its own: what they are shown, where they are used, what they refuse, and hostile calls.
 * tests/c/rules.cpp is the same as C++17.
 *
 *   rules DIRECTORY
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

#define LEGS 4

/* What an own rule is told, and what it saw. */
typedef struct context {
    int calls;
    int32_t answer;
    int mode;
} context;

enum { TWO_LEGS, NOTHING, NOT_A_NUMBER, PUSHES };

/* Two legs carry all: the weight over twice the cosine of the angle of each. */
static int32_t two_legs(void *told, const rigging_leg_set *set, double *forces_n, size_t count) {
    context *own = (context *)told;
    double weight = 0.0, center[3] = {0.0, 0.0, 0.0}, angles[LEGS];
    size_t legs = 0, leg;
    own->calls++;
    if (own->answer != 0) {
        forces_n[0] = 1.0;
        return own->answer;
    }
    if (rigging_leg_set_count(set, &legs, NULL) != RIGGING_OK || legs != count || count != LEGS) {
        return 1;
    }
    if (rigging_leg_set_load(set, &weight, center, NULL) != RIGGING_OK ||
        rigging_leg_set_angles(set, angles, count, NULL) != RIGGING_OK) {
        return 2;
    }
    for (leg = 0; leg < count && own->mode != NOTHING; leg++) {
        forces_n[leg] = weight / 2.0 / cos(angles[leg]);
    }
    if (own->mode == NOT_A_NUMBER) {
        forces_n[2] = NAN;
    }
    if (own->mode == PUSHES) {
        forces_n[3] = -1.0;
    }
    return 0;
}

/* Looks at everything there is to see, and answers what the solver finds. */
static int32_t looks(void *told, const rigging_leg_set *set, double *forces_n, size_t count) {
    context *own = (context *)told;
    double lengths[LEGS], center[3], weight;
    rigging_set_leg leg;
    rigging_error error;
    own->calls++;
    rigging_set_leg_init(&leg, sizeof leg);
    rigging_error_init(&error, sizeof error);
    CHECK(rigging_leg_set_leg(set, 1, &leg, &error) == RIGGING_OK);
    CHECK(leg.name.length == 5 && memcmp(leg.name.data, "leg B", 5) == 0);
    CHECK(leg.point_m[0] == 2.6 && leg.point_m[1] == -1.05 && leg.length_m == 6.0);
    CHECK(rigging_leg_set_leg(set, count, &leg, &error) == RIGGING_NO_SUCH_ITEM);
    CHECK(rigging_leg_set_tolerances(set, lengths, count, center, &error) == RIGGING_OK && lengths[3] == 0.03);
    CHECK(rigging_leg_set_tolerances(set, lengths, count, NULL, &error) == RIGGING_OK);
    CHECK(rigging_leg_set_tolerances(set, lengths, count - 1, NULL, &error) == RIGGING_WRONG_COUNT);
    CHECK(rigging_leg_set_load(set, NULL, NULL, &error) == RIGGING_OK);
    CHECK(rigging_leg_set_load(set, &weight, NULL, &error) == RIGGING_OK && fabs(weight - 18.5e3 * 9.80665) < 1e-6);
    CHECK(rigging_leg_set_load(NULL, &weight, NULL, &error) == RIGGING_NULL_ARGUMENT);
    CHECK(rigging_leg_set_count(set, NULL, &error) == RIGGING_NULL_ARGUMENT);
    CHECK(rigging_leg_set_angles(set, NULL, count, &error) == RIGGING_NULL_ARGUMENT);
    CHECK(rigging_leg_set_angles(set, lengths, count + 1, &error) == RIGGING_WRONG_COUNT);
    return rigging_leg_set_elastic(set, forces_n, count, &error);
}

static rigging_lift *lift_of(const char *directory, const char *name) {
    static char text[100000];
    char path[4096];
    rigging_lift *lift = NULL;
    FILE *file;
    size_t length;
    snprintf(path, sizeof path, "%s/%s", directory, name);
    file = fopen(path, "rb");
    length = file == NULL ? 0 : fread(text, 1, sizeof text, file);
    if (file != NULL) {
        fclose(file);
    }
    CHECK(rigging_lift_from_json(text, length, &lift, NULL) == RIGGING_OK);
    return lift;
}

static rigging_own_rule described(context *told, int32_t (*forces)(void *, const rigging_leg_set *, double *, size_t)) {
    rigging_own_rule own;
    rigging_own_rule_init(&own, sizeof own);
    own.conservative = 1;
    own.name = "own";
    own.name_length = 3;
    own.domain = "four legs";
    own.domain_length = 9;
    own.source = "note of the yard";
    own.source_length = 16;
    own.context = told;
    own.forces = forces;
    return own;
}

static rigging_sharing_rule *made(context *told, int32_t (*forces)(void *, const rigging_leg_set *, double *, size_t)) {
    rigging_sharing_rule *rule = NULL;
    /* The struct may go once the rule is made. */
    const rigging_own_rule own = described(told, forces);
    CHECK(rigging_sharing_rule_own(&own, &rule, NULL) == RIGGING_OK && rule != NULL);
    return rule;
}

static rigging_sharing_rule *built_in(const char *name) {
    rigging_sharing_rule *rule = NULL;
    CHECK(rigging_sharing_rule_built_in(name, strlen(name), &rule, NULL) == RIGGING_OK && rule != NULL);
    return rule;
}

/* An own rule that says what one built in says has its bits, alone and under a factor and an angle. */
static void the_same_bits(const rigging_lift *lift) {
    context told = {0, 0, TWO_LEGS};
    rigging_sharing_rule *rules[2], *skewed[2] = {NULL, NULL}, *turned[2] = {NULL, NULL};
    rigging_sharing_words words;
    double forces[2][LEGS], others[2][LEGS];
    int which;
    rules[0] = made(&told, two_legs);
    rules[1] = built_in("two legs carry all");
    for (which = 0; which < 2; which++) {
        CHECK(rigging_sharing_rule_share(rules[which], lift, forces[which], LEGS, NULL) == RIGGING_OK);
        CHECK(rigging_sharing_rule_skewed(rules[which], 1.25, "matched pairs", 13, "note", 4, &skewed[which], NULL) == RIGGING_OK);
        CHECK(rigging_sharing_rule_at_angle(rules[which], 0.48, &turned[which], NULL) == RIGGING_OK);
        /* What is made of a rule needs its handle no more. */
        rigging_sharing_rule_free(rules[which]);
        CHECK(rigging_sharing_rule_share(skewed[which], lift, others[which], LEGS, NULL) == RIGGING_OK);
        CHECK(others[which][1] == 1.25 * forces[which][1]);
        CHECK(rigging_sharing_rule_share(turned[which], lift, others[which], LEGS, NULL) == RIGGING_OK);
        CHECK(fabs(others[which][0] - 18.5e3 * 9.80665 / 2.0 / cos(0.48)) < 1e-6);
    }
    CHECK(memcmp(forces[0], forces[1], sizeof forces[0]) == 0);
    CHECK(memcmp(others[0], others[1], sizeof others[0]) == 0);
    CHECK(told.calls == 3);
    rigging_sharing_words_init(&words, sizeof words);
    CHECK(rigging_sharing_rule_tell(skewed[0], &words, NULL) == RIGGING_OK && words.conservative == 1);
    CHECK(words.name.length == 23 && memcmp(words.name.data, "skew factor 1.25 on own", 23) == 0);
    CHECK(rigging_sharing_rule_tell(turned[0], &words, NULL) == RIGGING_OK && words.conservative == 0);
    for (which = 0; which < 2; which++) {
        rigging_sharing_rule_free(skewed[which]);
        rigging_sharing_rule_free(turned[which]);
    }
}

static void compared(const rigging_lift *lift) {
    context told = {0, 0, TWO_LEGS}, seen = {0, 0, TWO_LEGS}, refuses = {0, 42, TWO_LEGS};
    const rigging_sharing_rule *rules[3];
    rigging_sharing_rule *own = made(&told, two_legs), *looking = made(&seen, looks), *refusing = made(&refuses, two_legs);
    rigging_answer *answer = NULL;
    rigging_text text = {NULL, 0};
    rigging_error error;
    char copy[8192];
    rules[0] = own;
    rules[1] = looking;
    rules[2] = refusing;
    CHECK(rigging_lift_compare_rules(lift, rules, 3, NULL, &answer, NULL) == RIGGING_OK);
    CHECK(rigging_answer_text(answer, &text, NULL) == RIGGING_OK && text.length < sizeof copy);
    memcpy(copy, text.data, text.length < sizeof copy ? text.length : 0);
    copy[text.length < sizeof copy ? text.length : 0] = '\0';
    CHECK(strstr(copy, "\"speaks\"") != NULL && strstr(copy, "the status 42") != NULL);
    rigging_answer_free(answer);
    answer = NULL;
    CHECK(told.calls == 1 && seen.calls == 1 && refuses.calls == 1);
    CHECK(rigging_lift_compare_rules(lift, NULL, 0, NULL, &answer, NULL) == RIGGING_OK);
    rigging_answer_free(answer);
    answer = NULL;
    rules[1] = NULL;
    rigging_error_init(&error, sizeof error);
    CHECK(rigging_lift_compare_rules(lift, rules, 3, NULL, &answer, &error) == RIGGING_NULL_ARGUMENT && answer == NULL);
    CHECK(rigging_lift_compare_rules(lift, NULL, 3, NULL, &answer, &error) == RIGGING_NULL_ARGUMENT && answer == NULL);
    CHECK(rigging_lift_compare_rules(lift, rules, (size_t)-1, NULL, &answer, &error) == RIGGING_TOO_LARGE);
    CHECK(told.calls == 1);
    rigging_sharing_rule_free(own);
    rigging_sharing_rule_free(looking);
    rigging_sharing_rule_free(refusing);
}

static int is(rigging_text text, const char *word) {
    return text.length == strlen(word) && memcmp(text.data, word, text.length) == 0;
}

static int32_t verdict_of(rigging_assessment *assessment, const char *source, double *taken) {
    rigging_text told = {NULL, 0};
    rigging_leg leg;
    int32_t verdict = -1;
    rigging_leg_init(&leg, sizeof leg);
    CHECK(rigging_assessment_forces(assessment, &told, NULL) == RIGGING_OK && is(told, source));
    CHECK(rigging_assessment_verdict(assessment, &verdict, NULL) == RIGGING_OK);
    CHECK(rigging_assessment_leg(assessment, 1, &leg, NULL) == RIGGING_OK);
    *taken = leg.taken_n;
    CHECK(leg.worst_n > 103e3 || leg.worst_n > 121e3);
    rigging_assessment_free(assessment);
    return verdict;
}

static void assessed(const char *directory) {
    rigging_lift *soft = lift_of(directory, "generator-skid-round-edge.json");
    rigging_lift *stiff = lift_of(directory, "generator-skid-stiff-slings.json");
    rigging_rule_set *rules = NULL;
    rigging_assessment *assessment = NULL;
    rigging_sharing_rule *bounds = NULL, *own;
    rigging_error error;
    context told = {0, 0, TWO_LEGS};
    double taken = 0.0, forces[LEGS];
    own = made(&told, two_legs);
    rigging_error_init(&error, sizeof error);
    CHECK(rigging_rule_set_built_in("us-general", 10, &rules, NULL) == RIGGING_OK);
    CHECK(rigging_lift_assess(soft, rules, &assessment, NULL) == RIGGING_OK);
    CHECK(verdict_of(assessment, "at_vertices", &taken) == RIGGING_VERDICT_PASS && isnan(taken));
    CHECK(rigging_lift_assess_bounded(soft, rules, 0.01, 2000, &assessment, NULL) == RIGGING_OK);
    CHECK(verdict_of(assessment, "bounds", &taken) == RIGGING_VERDICT_PASS && taken > 103.64e3 && taken < 117.68e3);
    CHECK(rigging_sharing_rule_bounds(0.01, 2000, &bounds, NULL) == RIGGING_OK);
    CHECK(rigging_sharing_rule_share(bounds, soft, forces, LEGS, NULL) == RIGGING_OK && forces[1] == taken);
    CHECK(rigging_lift_assess_bounded(stiff, rules, 0.01, 2000, &assessment, NULL) == RIGGING_OK);
    CHECK(verdict_of(assessment, "bounds", &taken) == RIGGING_VERDICT_FAIL);
    CHECK(rigging_lift_assess_by_rule(soft, rules, bounds, &assessment, NULL) == RIGGING_OK);
    CHECK(verdict_of(assessment, "rule", &taken) == RIGGING_VERDICT_PASS && taken == forces[1]);
    /* Two legs do not cover the skid with the box of its center of gravity, and a finding says so. */
    CHECK(rigging_lift_assess_by_rule(soft, rules, own, &assessment, NULL) == RIGGING_OK);
    CHECK(verdict_of(assessment, "rule", &taken) == RIGGING_VERDICT_FAIL);
    CHECK(rigging_sharing_rule_share(own, soft, forces, LEGS, NULL) == RIGGING_OK && taken == forces[1]);
    told.answer = -7;
    assessment = NULL;
    CHECK(rigging_lift_assess_by_rule(soft, rules, own, &assessment, NULL) == RIGGING_OK);
    CHECK(verdict_of(assessment, "rule", &taken) == RIGGING_VERDICT_CANNOT_CONCLUDE && isnan(taken));
    assessment = NULL;
    CHECK(rigging_lift_assess_bounded(soft, rules, 0.0, 2000, &assessment, &error) == RIGGING_OUT_OF_DOMAIN);
    CHECK(strcmp(error.place, "/gap") == 0 && assessment == NULL);
    CHECK(rigging_lift_assess_by_rule(soft, rules, NULL, &assessment, &error) == RIGGING_NULL_ARGUMENT && assessment == NULL);
    CHECK(rigging_lift_assess_by_rule(NULL, rules, own, &assessment, &error) == RIGGING_NULL_ARGUMENT && assessment == NULL);
    CHECK(rigging_lift_assess_by_rule(soft, rules, own, NULL, &error) == RIGGING_NULL_ARGUMENT);
    rigging_sharing_rule_free(own);
    rigging_sharing_rule_free(bounds);
    rigging_rule_set_free(rules);
    rigging_lift_free(soft);
    rigging_lift_free(stiff);
}

static void refused(const rigging_lift *lift) {
    context told = {0, 0, TWO_LEGS};
    rigging_sharing_rule *rule = made(&told, two_legs), *other = NULL;
    rigging_own_rule own = described(&told, two_legs);
    rigging_error error;
    double forces[LEGS] = {7.0, 7.0, 7.0, 7.0};
    size_t count = 0, index;
    int mode;
    rigging_error_init(&error, sizeof error);
    told.answer = 42;
    CHECK(rigging_sharing_rule_share(rule, lift, forces, LEGS, &error) == RIGGING_UNSUPPORTED && forces[0] == 7.0);
    CHECK(strstr(error.message, "42") != NULL);
    told.answer = 0;
    for (mode = NOTHING; mode <= PUSHES; mode++) {
        static const char *places[] = {"", "/legs/0", "/legs/2", "/legs/3"};
        told.mode = mode;
        CHECK(rigging_sharing_rule_share(rule, lift, forces, LEGS, &error) == RIGGING_OUT_OF_DOMAIN && forces[0] == 7.0);
        CHECK(strcmp(error.place, places[mode]) == 0 && strstr(error.message, "\"own\"") != NULL);
    }
    told.mode = TWO_LEGS;
    CHECK(rigging_sharing_rule_share(rule, lift, forces, LEGS - 1, &error) == RIGGING_WRONG_COUNT && forces[0] == 7.0);
    CHECK(rigging_sharing_rule_share(rule, lift, NULL, LEGS, &error) == RIGGING_NULL_ARGUMENT);
    CHECK(rigging_sharing_rule_share(NULL, lift, forces, LEGS, &error) == RIGGING_NULL_ARGUMENT);
    CHECK(rigging_sharing_rule_skewed(rule, 0.99, "any", 3, "note", 4, &other, &error) == RIGGING_OUT_OF_DOMAIN);
    CHECK(rigging_sharing_rule_skewed(rule, NAN, "any", 3, "note", 4, &other, &error) == RIGGING_OUT_OF_DOMAIN);
    CHECK(rigging_sharing_rule_skewed(rule, 1.1, "", 0, "note", 4, &other, &error) == RIGGING_MISSING);
    CHECK(rigging_sharing_rule_skewed(NULL, 1.1, "any", 3, "note", 4, &other, &error) == RIGGING_NULL_ARGUMENT);
    CHECK(rigging_sharing_rule_at_angle(rule, 1.6, &other, &error) == RIGGING_OUT_OF_DOMAIN);
    CHECK(rigging_sharing_rule_built_in("two legs carry al", 17, &other, &error) == RIGGING_UNKNOWN_NAME);
    CHECK(strstr(error.message, "two legs carry all") != NULL);
    CHECK(rigging_sharing_rule_own(NULL, &other, &error) == RIGGING_NULL_ARGUMENT);
    CHECK(rigging_sharing_rule_own(&own, NULL, &error) == RIGGING_NULL_ARGUMENT);
    own.struct_size = 8;
    CHECK(rigging_sharing_rule_own(&own, &other, &error) == RIGGING_WRONG_SIZE);
    own = described(&told, NULL);
    CHECK(rigging_sharing_rule_own(&own, &other, &error) == RIGGING_NULL_ARGUMENT);
    own = described(&told, two_legs);
    own.conservative = 2;
    CHECK(rigging_sharing_rule_own(&own, &other, &error) == RIGGING_OUT_OF_DOMAIN);
    own = described(&told, two_legs);
    own.domain_length = 0;
    CHECK(rigging_sharing_rule_own(&own, &other, &error) == RIGGING_MISSING && strcmp(error.place, "/domain") == 0);
    own = described(&told, two_legs);
    own.name = "\xff\xfe\xfd";
    CHECK(rigging_sharing_rule_own(&own, &other, &error) == RIGGING_NOT_UTF8);
    own = described(&told, two_legs);
    own.source = NULL;
    CHECK(rigging_sharing_rule_own(&own, &other, &error) == RIGGING_NULL_ARGUMENT);
    CHECK(other == NULL);
    rigging_sharing_rule_free(rule);
    rigging_sharing_rule_free(NULL);

    CHECK(rigging_sharing_rule_built_in_count(&count, &error) == RIGGING_OK && count == 10);
    CHECK(rigging_sharing_rule_built_in_at(count, &other, &error) == RIGGING_NO_SUCH_ITEM && other == NULL);
    for (index = 0; index < count; index++) {
        rigging_sharing_words words;
        rigging_sharing_rule *again = NULL;
        rigging_sharing_words_init(&words, sizeof words);
        CHECK(rigging_sharing_rule_built_in_at(index, &other, &error) == RIGGING_OK);
        CHECK(rigging_sharing_rule_tell(other, &words, &error) == RIGGING_OK && words.document.length > 0);
        CHECK(rigging_sharing_rule_built_in(words.name.data, words.name.length, &again, &error) == RIGGING_OK);
        rigging_sharing_rule_free(again);
        rigging_sharing_rule_free(other);
        other = NULL;
    }
}

/* Ends a search when it was asked often enough. */
static int32_t a_few(void *told, size_t done) {
    context *own = (context *)told;
    (void)done;
    own->calls++;
    return own->calls < 4;
}

static int32_t far_too_much(void *told, const rigging_leg_set *set, double *forces_n, size_t count) {
    size_t leg;
    (void)told;
    (void)set;
    for (leg = 0; leg < count; leg++) {
        forces_n[leg] = 1e9;
    }
    return 0;
}

static int says(const rigging_answer *answer, const char *words) {
    static char text[200000];
    rigging_text found;
    if (rigging_answer_text(answer, &found, NULL) != RIGGING_OK || found.length >= sizeof text) {
        return 0;
    }
    memcpy(text, found.data, found.length);
    text[found.length] = 0;
    return strstr(text, words) != NULL;
}

/* A search for a lift that a rule forgets, and a map of where it falls short. */
static void searched(const rigging_lift *lift) {
    static const char ring[] = "{\"legs\": 4}";
    static const char free_numbers[] =
        "{\"free\": [{\"number\": \"stiffnesses\", \"least\": 4e6, \"most\": 2e7}]}";
    static const char axes[] =
        "{\"axes\": [{\"number\": \"length_tolerances\", \"values\": [0, 0.01, 0.03]}]}";
    context told = {0, 0, TWO_LEGS}, watch = {0, 0, 0};
    rigging_sharing_rule *rule = made(&told, two_legs), *other;
    const rigging_sharing_rule *both[2];
    rigging_answer *answer = NULL;
    rigging_error error;
    rigging_error_init(&error, sizeof error);
    CHECK(rigging_refute(rule, NULL, ring, strlen(ring), NULL, NULL, &answer, &error) == RIGGING_OK);
    CHECK(says(answer, "\"refuted\":true") && says(answer, "\"document\":\"{") && says(answer, "\"name\":\"own\""));
    CHECK(told.calls > 0);
    rigging_answer_free(answer);
    answer = NULL;
    CHECK(rigging_refute(rule, lift, free_numbers, strlen(free_numbers), NULL, NULL, &answer, &error) == RIGGING_OK);
    CHECK(says(answer, "\"refuted\":true"));
    rigging_answer_free(answer);
    answer = NULL;
    other = made(&told, far_too_much);
    CHECK(rigging_refute(other, NULL, ring, strlen(ring), a_few, &watch, &answer, &error) == RIGGING_OK);
    CHECK(says(answer, "\"refuted\":false") && watch.calls == 4);
    rigging_answer_free(answer);
    answer = NULL;
    both[0] = rule;
    both[1] = other;
    CHECK(rigging_survey(both, 2, lift, axes, strlen(axes), NULL, NULL, &answer, &error) == RIGGING_OK);
    CHECK(says(answer, "\"short\":[[") && says(answer, "\"worst\":["));
    rigging_answer_free(answer);
    answer = NULL;
    CHECK(rigging_refute(rule, NULL, "{}", 2, NULL, NULL, &answer, &error) == RIGGING_MISSING);
    CHECK(strcmp(error.place, "/legs") == 0);
    CHECK(rigging_refute(rule, lift, "{}", 2, NULL, NULL, &answer, &error) == RIGGING_MISSING);
    CHECK(strcmp(error.place, "/free") == 0);
    CHECK(rigging_refute(rule, NULL, "{\"legs\": 4,", 11, NULL, NULL, &answer, &error) == RIGGING_MALFORMED);
    CHECK(rigging_refute(NULL, NULL, ring, strlen(ring), NULL, NULL, &answer, &error) == RIGGING_NULL_ARGUMENT);
    CHECK(rigging_refute(rule, NULL, NULL, 5, NULL, NULL, &answer, &error) == RIGGING_NULL_ARGUMENT);
    CHECK(rigging_refute(rule, NULL, ring, strlen(ring), NULL, NULL, NULL, &error) == RIGGING_NULL_ARGUMENT);
    both[1] = NULL;
    CHECK(rigging_survey(both, 2, lift, axes, strlen(axes), NULL, NULL, &answer, &error) == RIGGING_NULL_ARGUMENT);
    CHECK(rigging_survey(NULL, 2, lift, axes, strlen(axes), NULL, NULL, &answer, &error) == RIGGING_NULL_ARGUMENT);
    CHECK(rigging_survey(NULL, 0, lift, axes, strlen(axes), NULL, NULL, &answer, &error) == RIGGING_OK);
    rigging_answer_free(answer);
    answer = NULL;
    CHECK(rigging_survey(both, 1, lift, ring, strlen(ring), NULL, NULL, &answer, &error) == RIGGING_MISSING);
    CHECK(strcmp(error.place, "/axes") == 0 && answer == NULL);
    rigging_sharing_rule_free(other);
    rigging_sharing_rule_free(rule);
}

/* The skew factor that a rule set gives for the slings of one lift, and what it is refused for. */
static void by_rule_set(const char *directory) {
    static const char set[] = "marine-0027-nd-2016";
    static const char base_name[] = "equal share by angle";
    static const char facts[] =
        "{\"rope lay\": \"single-laid\", \"sling pairing\": \"matched pairs\", \"longer slings on one diagonal\": \"no\","
        " \"sling length tolerance in diameters\": 0.03, \"pair length difference in diameters\": [0.03, \"\"],"
        " \"mass per length\": [5.8, \"kg/m\"], \"utilization with the skew factor\": 0.85}";
    rigging_lift *steel = lift_of(directory, "tool-skid-offshore.json");
    rigging_lift *fiber = lift_of(directory, "tool-skid-offshore-hmpe.json");
    rigging_rule_set *rules = NULL;
    rigging_sharing_rule *base = NULL, *skewed = NULL, *none = NULL;
    double even[LEGS], forces[LEGS];
    rigging_error error;
    int leg;
    rigging_error_init(&error, sizeof error);
    CHECK(rigging_rule_set_built_in(set, strlen(set), &rules, &error) == RIGGING_OK);
    CHECK(rigging_sharing_rule_built_in(base_name, strlen(base_name), &base, &error) == RIGGING_OK);
    CHECK(rigging_sharing_rule_skewed_by_rule_set(base, rules, steel, facts, strlen(facts), &skewed, &error) == RIGGING_OK);
    CHECK(rigging_sharing_rule_share(base, steel, even, LEGS, &error) == RIGGING_OK);
    CHECK(rigging_sharing_rule_share(skewed, steel, forces, LEGS, &error) == RIGGING_OK);
    for (leg = 0; leg < LEGS; leg++) {
        CHECK(forces[leg] == 1.25 * even[leg]);
    }
    CHECK(rigging_sharing_rule_share(skewed, fiber, forces, LEGS, &error) == RIGGING_UNSUPPORTED);
    CHECK(rigging_sharing_rule_skewed_by_rule_set(base, rules, fiber, facts, strlen(facts), &none, &error) == RIGGING_UNSUPPORTED);
    CHECK(strstr(error.message, "compute the skew load") != NULL);
    CHECK(rigging_sharing_rule_skewed_by_rule_set(base, rules, steel, "{}", 2, &none, &error) == RIGGING_MISSING);
    CHECK(rigging_sharing_rule_skewed_by_rule_set(base, rules, steel, "{\"a\": 1}", 8, &none, &error) == RIGGING_UNKNOWN_NAME);
    CHECK(rigging_sharing_rule_skewed_by_rule_set(base, rules, steel, "[1]", 3, &none, &error) == RIGGING_MALFORMED);
    CHECK(rigging_sharing_rule_skewed_by_rule_set(base, NULL, steel, facts, strlen(facts), &none, &error) == RIGGING_NULL_ARGUMENT);
    CHECK(none == NULL);
    CHECK(rigging_sharing_rule_leg_factor_of_rule_set(rules, steel, "{}", 2, &none, &error) == RIGGING_UNSUPPORTED);
    CHECK(strstr(error.message, "a leg factor by marine-0027-nd-2016") != NULL);
    CHECK(rigging_sharing_rule_leg_factor_of_rule_set(rules, steel, "[1]", 3, &none, &error) == RIGGING_MALFORMED);
    CHECK(rigging_sharing_rule_leg_factor_of_rule_set(NULL, steel, "{}", 2, &none, &error) == RIGGING_NULL_ARGUMENT);
    CHECK(none == NULL);
    rigging_sharing_rule_free(skewed);
    rigging_sharing_rule_free(base);
    rigging_rule_set_free(rules);
    rigging_lift_free(steel);
    rigging_lift_free(fiber);
}

int main(int count, char **arguments) {
    rigging_lift *lift;
    if (count < 2) {
        printf("usage: rules DIRECTORY\n");
        return 1;
    }
    lift = lift_of(arguments[1], "generator-skid-round-edge.json");
    the_same_bits(lift);
    compared(lift);
    refused(lift);
    searched(lift);
    rigging_lift_free(lift);
    assessed(arguments[1]);
    by_rule_set(arguments[1]);
    printf("%d passed, %d failed\n", passed, failed);
    return failed == 0 ? 0 : 1;
}
