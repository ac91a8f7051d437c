/* Counts what holds and prints what does not. */
#ifndef RIGGING_TESTS_CHECK_H
#define RIGGING_TESTS_CHECK_H

#include <stdio.h>

static int passed = 0;
static int failed = 0;

static void check(int holds, int line, const char *what) {
    if (holds) {
        passed++;
    } else {
        failed++;
        printf("line %d: %s\n", line, what);
    }
}
#define CHECK(condition) check((condition) != 0, __LINE__, #condition)

#endif
