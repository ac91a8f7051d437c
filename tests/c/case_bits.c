/*
 * A C99 client of the library that hangs every reference case from its lift document and compares each tension, bit for
 * bit, with that of Rust; what Rust refuses is refused with the same code.
 *
 *   case_bits DIRECTORY EXPECTED CASES
 *
 * CASES is the file that Rust writes: of each case the id, the tensions or the code of the error, and the document stand
 * on a line of their own. The other arguments are for other clients. A line is printed for what failed, then how many
 * cases ran and a closing line with the numbers; the exit status is 1 when anything failed.
 */
#include <rigging.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_LEGS = 64 };

static int passed = 0;
static int failed = 0;

static void check(int holds, int line, const char *what, const char *id) {
    if (holds) {
        passed++;
    } else {
        failed++;
        printf("%s:%d: %s: %s\n", __FILE__, line, id, what);
    }
}
#define CHECK(condition, id) check((condition) != 0, __LINE__, #condition, id)

/* A whole file, ended by a zero byte; NULL when it cannot be read. */
static char *read_file(const char *path) {
    FILE *file = fopen(path, "rb");
    char *text = NULL;
    long size;
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

/* What follows the key at the beginning of the line; NULL where the line has another. */
static char *after(char *line, const char *key) {
    size_t length = strlen(key);
    return strncmp(line, key, length) == 0 ? line + length : NULL;
}

/* What Rust makes of one case. */
typedef struct expected {
    const char *id;
    const char *refused; /* the code of the error, NULL where there are tensions */
    size_t legs;
    uint64_t tensions[MOST_LEGS];
} expected;

/* Reads ["0123456789abcdef",...] */
static void read_tensions(const char *text, expected *one) {
    unsigned long long bits = 0;
    int taken = 0;
    one->legs = 0;
    while (one->legs < MOST_LEGS && sscanf(text, "%*1[[,]\"%16llx\"%n", &bits, &taken) == 1) {
        one->tensions[one->legs++] = bits;
        text += taken;
    }
    CHECK(strcmp(text, "],") == 0, one->id);
}

static int same_bits(double value, uint64_t bits) {
    uint64_t own;
    memcpy(&own, &value, sizeof own);
    return own == bits;
}

static void hang(const char *document, size_t length, const expected *one) {
    rigging_error error;
    rigging_lift *lift = NULL;
    rigging_certificate *certificate = NULL;
    rigging_certificate_figures figures;
    double tensions[MOST_LEGS];
    size_t leg;
    int32_t status;
    rigging_error_init(&error, sizeof error);
    rigging_certificate_figures_init(&figures, sizeof figures);
    CHECK(rigging_lift_from_json(document, length, &lift, &error) == RIGGING_OK, one->id);
    status = rigging_lift_solve(lift, &certificate, &error);
    if (one->refused != NULL) {
        CHECK(strcmp(rigging_status_name(status), one->refused) == 0 && certificate == NULL, one->id);
    } else {
        CHECK(status == RIGGING_OK, one->id);
        CHECK(rigging_certificate_tell(certificate, &figures, &error) == RIGGING_OK, one->id);
        CHECK(one->legs > 0 && figures.member_count == one->legs, one->id);
        CHECK(rigging_certificate_tensions(certificate, tensions, one->legs, &error) == RIGGING_OK, one->id);
        for (leg = 0; leg < one->legs && error.code == RIGGING_OK; leg++) {
            CHECK(same_bits(tensions[leg], one->tensions[leg]), one->id);
        }
    }
    rigging_certificate_free(certificate);
    rigging_lift_free(lift);
}

int main(int count, char **arguments) {
    char *text = count >= 4 ? read_file(arguments[3]) : NULL;
    char *line = text;
    expected one = {"no case yet", NULL, 0, {0}};
    unsigned long solved = 0, unsupported = 0, ran = 0, refused = 0;
    if (text == NULL) {
        printf("usage: case_bits DIRECTORY EXPECTED CASES\n");
        return 1;
    }
    while (line != NULL) {
        char *next = strchr(line, '\n');
        char *value;
        if (next != NULL) {
            *next++ = '\0';
        }
        if ((value = after(line, "\"solved\":")) != NULL) {
            solved = strtoul(value, NULL, 10);
        } else if ((value = after(line, "\"unsupported\":")) != NULL) {
            unsupported = strtoul(value, NULL, 10);
        } else if ((value = after(line, "{\"id\":\"")) != NULL) {
            one.id = value;
            one.refused = NULL;
            one.legs = 0;
            value[strcspn(value, "\"")] = '\0';
        } else if ((value = after(line, "\"tensions\":")) != NULL) {
            read_tensions(value, &one);
        } else if ((value = after(line, "\"refused\":\"")) != NULL) {
            one.refused = value;
            value[strcspn(value, "\"")] = '\0';
        } else if ((value = after(line, "\"document\":")) != NULL) {
            /* The line closes the case too, and a comma stands between two. */
            size_t length = strlen(value);
            length -= length > 0 && value[length - 1] == ',';
            CHECK(length > 0 && value[length - 1] == '}', one.id);
            hang(value, length - 1, &one);
            ran++;
            refused += one.refused != NULL;
        }
        line = next;
    }
    free(text);
    CHECK(ran > 0 && ran - refused == solved && refused == unsupported, "the counts of the file");
    printf("%lu cases ran, %lu are unsupported, 0 skipped\n", ran - refused, refused);
    printf("%d passed, %d failed\n", passed, failed);
    return failed == 0 ? 0 : 1;
}
