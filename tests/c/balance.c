/*
 * A C99 client of the library that asks about the balance of lifts: derivatives, margins, losses, motions, modes,
 * self-stress, the order of slings, natural periods, other poses. What it gets is compared bit for bit with what Rust gets.
 *
 *   balance DIRECTORY - - EXPECTED
 *
 * DIRECTORY holds the lift documents, EXPECTED what Rust answers (its own head says how to read it). A line is printed for
 * what failed, then a closing line with the numbers; the exit status is 1 when anything failed.
 */
#include "check.h"

#include <math.h>
#include <rigging.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_LEGS = 8, LINE = 4096, COUNT = 6, ANSWERS = 9 };
static const double TOLERANCE = 1e-9;

/* One lift that hangs, and how far its record was read. */
typedef struct hanging {
    rigging_balance *balance;
    double tensions[MOST_LEGS];
    size_t legs;
    double *matrix;
    size_t parameters;
    size_t row;
    size_t answers;
    char periods[LINE];
} hanging;

static rigging_lift *read_lift(const char *directory, const char *name) {
    char path[LINE];
    FILE *file;
    char *text = NULL;
    rigging_lift *lift = NULL;
    long size;
    snprintf(path, sizeof path, "%s/%s", directory, name);
    file = fopen(path, "rb");
    if (file == NULL) {
        return NULL;
    }
    if (fseek(file, 0, SEEK_END) == 0 && (size = ftell(file)) >= 0 && fseek(file, 0, SEEK_SET) == 0) {
        text = malloc((size_t)size + 1);
        if (text != NULL) {
            size_t length = fread(text, 1, (size_t)size, file);
            CHECK(rigging_lift_from_json(text, length, &lift, NULL) == RIGGING_OK);
        }
    }
    free(text);
    fclose(file);
    return lift;
}

/* FNV-1a (Fowler, Noll, Vo), 64 bits. */
static uint64_t fnv(const char *bytes, size_t length) {
    uint64_t hash = 0xcbf29ce484222325u;
    size_t index;
    for (index = 0; index < length; index++) {
        hash = (hash ^ (uint64_t)(unsigned char)bytes[index]) * 0x100000001b3u;
    }
    return hash;
}

/* Compares doubles with the bits that stand in a line, one after the other. */
static int same_bits(const double *values, size_t count, const char *line) {
    size_t index;
    for (index = 0; index < count; index++) {
        char *end = NULL;
        unsigned long long bits = strtoull(line, &end, 16);
        uint64_t own;
        memcpy(&own, &values[index], sizeof own);
        if (end == line || own != bits) {
            return 0;
        }
        line = end;
    }
    return *line == '\0';
}

static void hang(hanging *one, const char *directory, const char *name) {
    rigging_lift *lift = read_lift(directory, name);
    rigging_certificate *certificate = NULL;
    rigging_certificate_figures figures;
    rigging_certificate_figures_init(&figures, sizeof figures);
    memset(one, 0, sizeof *one);
    CHECK(rigging_lift_leg_count(lift, &one->legs, NULL) == RIGGING_OK && one->legs <= MOST_LEGS);
    CHECK(rigging_lift_hang(lift, &one->balance, NULL) == RIGGING_OK);
    rigging_lift_free(lift); /* the balance needs it no more */
    CHECK(rigging_balance_certificate(one->balance, &certificate, NULL) == RIGGING_OK);
    CHECK(rigging_certificate_tensions(certificate, one->tensions, one->legs, NULL) == RIGGING_OK);
    CHECK(rigging_certificate_tell(certificate, &figures, NULL) == RIGGING_OK);
    CHECK(figures.state == RIGGING_STATE_STABLE && figures.joint_count == 0);
    rigging_certificate_free(certificate);
    CHECK(rigging_balance_parameter_count(one->balance, &one->parameters, NULL) == RIGGING_OK);
    one->matrix = malloc(one->parameters * one->legs * sizeof *one->matrix);
    CHECK(one->matrix != NULL);
    CHECK(rigging_balance_tension_matrix(one->balance, one->matrix, one->parameters * one->legs, NULL) == RIGGING_OK);
}

static void release(hanging *one) {
    if (one->balance != NULL) {
        CHECK(one->row == one->parameters && one->answers == ANSWERS);
    }
    free(one->matrix);
    rigging_balance_free(one->balance);
    one->matrix = NULL;
    one->balance = NULL;
}

/* The answer to a question by its name. */
static rigging_answer *ask(const hanging *one, const char *question) {
    rigging_answer *answer = NULL;
    double allowed[MOST_LEGS];
    double errors[MOST_LEGS];
    int32_t status = -1;
    size_t leg;
    for (leg = 0; leg < one->legs; leg++) {
        allowed[leg] = leg + 1 == one->legs ? NAN : 1e5;
        errors[leg] = ((double)leg - 1.0) / 1024.0;
    }
    if (strcmp(question, "derivatives") == 0) {
        status = rigging_balance_derivatives(one->balance, &answer, NULL);
    } else if (strcmp(question, "margins") == 0) {
        status = rigging_balance_margins(one->balance, &answer, NULL);
    } else if (strcmp(question, "losses") == 0) {
        status = rigging_balance_losses(one->balance, allowed, one->legs, &answer, NULL);
    } else if (strcmp(question, "motions") == 0) {
        status = rigging_balance_motions(one->balance, &answer, NULL);
    } else if (strcmp(question, "modes") == 0) {
        status = rigging_balance_modes(one->balance, COUNT, &answer, NULL);
    } else if (strcmp(question, "self_stress") == 0) {
        status = rigging_balance_self_stress(one->balance, TOLERANCE, &answer, NULL);
    } else if (strcmp(question, "order") == 0) {
        status = rigging_balance_order(one->balance, errors, one->legs, TOLERANCE, &answer, NULL);
    } else if (strcmp(question, "periods") == 0) {
        status = rigging_balance_periods(one->balance, one->periods, strlen(one->periods), COUNT, &answer, NULL);
    } else if (strcmp(question, "others") == 0) {
        status = rigging_balance_others(one->balance, &answer, NULL);
    }
    CHECK(status == RIGGING_OK && answer != NULL);
    return answer;
}

static void compare(hanging *one, const char *line) {
    char question[32];
    size_t bytes = 0;
    unsigned long long hash = 0;
    rigging_answer *answer = NULL;
    rigging_text text = {NULL, 0};
    CHECK(sscanf(line, "%31s %zu %llx", question, &bytes, &hash) == 3);
    answer = ask(one, question);
    CHECK(rigging_answer_text(answer, &text, NULL) == RIGGING_OK);
    CHECK(text.length == bytes && fnv(text.data, text.length) == hash);
    rigging_answer_free(answer);
    one->answers++;
}

/* The weight of the vessel between its lugs moves with its center of gravity: W/24 for each meter, one up and one down. */
static void closed_form(const char *directory) {
    rigging_lift *lift = read_lift(directory, "vessel-two-cranes.json");
    rigging_balance *balance = NULL;
    rigging_parameter parameter;
    double matrix[64];
    size_t count = 0;
    size_t index;
    int found = 0;
    rigging_parameter_init(&parameter, sizeof parameter);
    CHECK(rigging_lift_hang(lift, &balance, NULL) == RIGGING_OK);
    CHECK(rigging_balance_parameter_count(balance, &count, NULL) == RIGGING_OK && count * 2 <= 64);
    CHECK(rigging_balance_tension_matrix(balance, matrix, count * 2, NULL) == RIGGING_OK);
    for (index = 0; index < count; index++) {
        CHECK(rigging_balance_parameter(balance, index, &parameter, NULL) == RIGGING_OK);
        if (strncmp(parameter.quantity.data, "center_of_gravity", parameter.quantity.length) == 0 &&
            parameter.axis.data != NULL && parameter.axis.data[0] == 'x') {
            /* The slings stretch unequally and turn the vessel a little: 1 in 1000 covers that. */
            double expected = 96e3 * 9.80665 / 24.0;
            CHECK(parameter.unit.length == 1 && parameter.unit.data[0] == 'm');
            CHECK(fabs(matrix[2 * index] + expected) < 1e-3 * expected);
            CHECK(fabs(matrix[2 * index + 1] - expected) < 1e-3 * expected);
            found++;
        }
    }
    CHECK(found == 1);
    CHECK(rigging_balance_parameter(balance, count, &parameter, NULL) == RIGGING_NO_SUCH_ITEM);
    rigging_balance_free(balance);
    rigging_lift_free(lift);
}

static void refusals(const char *directory) {
    static const char one_inertia[] = "{\"inertias\": [{\"moments\": [1, 1, 3]}]}";
    static const char misspelled[] = "{\"inertias\": [{\"moment\": [1, 1, 1]}]}";
    rigging_lift *lift = read_lift(directory, "generator-skid.json");
    rigging_balance *balance = NULL;
    rigging_answer *answer = NULL;
    rigging_text text = {NULL, 77};
    rigging_error error;
    double values[4] = {0.0, 1.0, 2.0, 3.0};
    rigging_error_init(&error, sizeof error);
    CHECK(rigging_lift_hang(NULL, &balance, &error) == RIGGING_NULL_ARGUMENT && balance == NULL);
    CHECK(rigging_lift_hang(lift, &balance, &error) == RIGGING_OK);
    CHECK(rigging_balance_losses(balance, values, 4, &answer, &error) == RIGGING_OUT_OF_DOMAIN);
    CHECK(strcmp(error.place, "/allowed/0") == 0);
    CHECK(rigging_balance_losses(balance, values, 3, &answer, &error) == RIGGING_WRONG_COUNT);
    CHECK(rigging_balance_losses(balance, NULL, 4, &answer, &error) == RIGGING_NULL_ARGUMENT);
    values[2] = NAN;
    CHECK(rigging_balance_order(balance, values, 4, 1e-9, &answer, &error) == RIGGING_OUT_OF_DOMAIN);
    CHECK(strcmp(error.place, "/errors/2") == 0);
    CHECK(rigging_balance_order(balance, values, 5, 1e-9, &answer, &error) == RIGGING_WRONG_COUNT);
    CHECK(rigging_balance_self_stress(balance, NAN, &answer, &error) == RIGGING_OUT_OF_DOMAIN);
    CHECK(rigging_balance_periods(balance, one_inertia, sizeof one_inertia - 1, 6, &answer, &error) ==
          RIGGING_INCONSISTENT);
    CHECK(strncmp(error.place, "/inertias/0", 11) == 0);
    CHECK(rigging_balance_periods(balance, misspelled, sizeof misspelled - 1, 6, &answer, &error) == RIGGING_UNKNOWN_KEY);
    CHECK(strcmp(error.place, "/inertias/0/moment") == 0);
    CHECK(rigging_balance_periods(balance, NULL, 0, 6, &answer, &error) == RIGGING_MALFORMED);
    CHECK(rigging_balance_tension_matrix(balance, values, 4, &error) == RIGGING_WRONG_COUNT);
    CHECK(answer == NULL);
    CHECK(rigging_answer_text(NULL, &text, &error) == RIGGING_NULL_ARGUMENT && text.length == 77);
    rigging_answer_free(NULL);
    rigging_balance_free(NULL);
    rigging_balance_free(balance);
    rigging_lift_free(lift);
}

int main(int count, char **arguments) {
    static char line[LINE];
    hanging one;
    size_t lifts = 0;
    FILE *file = count >= 5 ? fopen(arguments[4], "r") : NULL;
    if (file == NULL) {
        printf("usage: balance DIRECTORY - - EXPECTED\n");
        return 1;
    }
    memset(&one, 0, sizeof one);
    while (fgets(line, sizeof line, file) != NULL) {
        line[strcspn(line, "\n")] = '\0';
        if (strncmp(line, "lift ", 5) == 0) {
            release(&one);
            hang(&one, arguments[1], line + 5);
            lifts++;
        } else if (strncmp(line, "periods ", 8) == 0) {
            strcpy(one.periods, line + 8);
        } else if (strncmp(line, "tension ", 8) == 0) {
            CHECK(same_bits(one.tensions, one.legs, line + 8));
        } else if (strncmp(line, "row ", 4) == 0) {
            CHECK(one.row < one.parameters && same_bits(one.matrix + one.row * one.legs, one.legs, line + 4));
            one.row++;
        } else if (strncmp(line, "answer ", 7) == 0) {
            compare(&one, line + 7);
        }
    }
    release(&one);
    fclose(file);
    CHECK(lifts == 4);
    closed_form(arguments[1]);
    refusals(arguments[1]);
    printf("%d passed, %d failed\n", passed, failed);
    return failed == 0 ? 0 : 1;
}
