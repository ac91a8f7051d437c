/*
 * A C99 client of the library that tests the boundary: versions, errors, panics, texts, handles. It prints what
 * failed and a closing line with the numbers, and exits with 1 when anything failed.
 */
#include "check.h"

#include <rigging.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Symbols for tests of the boundary; they are in no header. */
typedef struct rigging_hidden_note rigging_hidden_note;
int32_t rigging_hidden_panic(rigging_error *error);
int32_t rigging_hidden_fail(const char *what, size_t what_length, const char *place, size_t place_length,
                            rigging_error *error);
int32_t rigging_hidden_note_new(const char *text, size_t length, rigging_hidden_note **note, rigging_error *error);
int32_t rigging_hidden_note_text(const rigging_hidden_note *note, char *buffer, size_t capacity, size_t *length,
                                 rigging_error *error);
void rigging_hidden_note_free(rigging_hidden_note *note);

static void versions(void) {
    CHECK(rigging_abi_version() == RIGGING_ABI_VERSION);
    CHECK(strlen(rigging_version()) >= 5 && strchr(rigging_version(), '.') != NULL);
    CHECK(strcmp(rigging_status_name(RIGGING_OK), "ok") == 0);
    CHECK(strcmp(rigging_status_name(RIGGING_MISSING), "missing") == 0);
    CHECK(strcmp(rigging_status_name(-5), "unknown_status") == 0);
}

static void errors(void) {
    rigging_error error;
    rigging_error_init(&error, sizeof error);
    CHECK(error.struct_size == sizeof error && error.code == RIGGING_OK && error.message[0] == '\0');
    CHECK(rigging_hidden_fail("no such thing", 13, "/legs/2", 7, &error) == RIGGING_MALFORMED);
    CHECK(error.code == RIGGING_MALFORMED);
    CHECK(strcmp(error.message, "no such thing") == 0);
    CHECK(strcmp(error.place, "/legs/2") == 0);
    CHECK(rigging_hidden_fail("a", 1, NULL, 0, NULL) == RIGGING_MALFORMED);
    CHECK(rigging_hidden_fail(NULL, 1, NULL, 0, &error) == RIGGING_NULL_ARGUMENT);
    CHECK(strcmp(error.message, "the argument what is null") == 0 && error.place[0] == '\0');
    rigging_error_init(NULL, sizeof error);
}

/* A caller that was compiled when the struct was shorter. */
static void short_error(void) {
    struct {
        uint32_t struct_size;
        int32_t code;
        char message[6];
        char strip[10];
    } old;
    memset(&old, 0x55, sizeof old);
    old.struct_size = (uint32_t)offsetof(rigging_error, message) + sizeof old.message;
    CHECK(rigging_hidden_fail("abcd\xC3\xA9\xC3\xA9", 8, "/a", 2, (rigging_error *)(void *)&old) == RIGGING_MALFORMED);
    CHECK(old.code == RIGGING_MALFORMED);
    CHECK(strcmp(old.message, "abcd") == 0);
    CHECK(memchr(old.strip, 0x55, 1) != NULL && old.strip[9] == 0x55);
}

static void panics(void) {
    rigging_error error;
    rigging_error_init(&error, sizeof error);
    CHECK(rigging_hidden_panic(&error) == RIGGING_INTERNAL);
    CHECK(strstr(error.message, "on purpose") != NULL);
    CHECK(rigging_hidden_panic(NULL) == RIGGING_INTERNAL);
}

static void documents(void) {
    rigging_error error;
    rigging_hidden_note *note = NULL;
    size_t length = 0;
    char *buffer = NULL;
    rigging_error_init(&error, sizeof error);
    CHECK(rigging_hidden_note_new("two calls", 9, &note, &error) == RIGGING_OK);
    CHECK(rigging_hidden_note_text(note, NULL, 0, &length, &error) == RIGGING_OK && length == 9);
    buffer = malloc(length + 1);
    if (buffer == NULL) {
        CHECK(buffer != NULL);
    } else {
        CHECK(rigging_hidden_note_text(note, buffer, length, &length, &error) == RIGGING_BUFFER_TOO_SMALL);
        CHECK(rigging_hidden_note_text(note, buffer, length + 1, &length, &error) == RIGGING_OK);
        CHECK(strcmp(buffer, "two calls") == 0);
    }
    CHECK(rigging_hidden_note_text(NULL, NULL, 0, &length, &error) == RIGGING_NULL_ARGUMENT);
    CHECK(rigging_hidden_note_new("\xFF", 1, &note, &error) == RIGGING_NOT_UTF8);
    free(buffer);
    rigging_hidden_note_free(note);
    rigging_hidden_note_free(NULL);
}

int main(void) {
    versions();
    errors();
    short_error();
    panics();
    documents();
    printf("%d passed, %d failed\n", passed, failed);
    return failed == 0 ? 0 : 1;
}
