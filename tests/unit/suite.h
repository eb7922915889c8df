/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/suite.h -- running a suite from main. */
#ifndef TESTS_UNIT_SUITE_H
#define TESTS_UNIT_SUITE_H

#include <check.h>
#include <stdlib.h>

/* Whether a sanitizer watches: gcc defines these, clang has features. */
#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
#define SANITIZED 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer) || __has_feature(thread_sanitizer)
#define SANITIZED 1
#endif
#endif
#ifndef SANITIZED
#define SANITIZED 0
#endif

/* `make check-long` tries all; `make check` as many of them as every bar of
 * the test still has its meaning with. */
static inline int
usual(int few, int all)
{
    return getenv("FLUSHCALC_LONG") ? all : few;
}

/* What is stated of many generated buildings is stated by plain builds.  A
 * sanitizer makes each of them several times as slow, and a fault of memory
 * that it would find shows in the first tenth of them: the rest run the same
 * code. */
static inline int
sample(int all)
{
    return SANITIZED ? (all + 9) / 10 : all;
}

/* A test of each of `all` generated ones, or of the sample of them. */
#define tcase_add_sampled_test(tcase, test, all)                              \
    tcase_add_loop_test(tcase, test, 0, sample(all))

/* A test that counts over all of them, where all of them are tried; so does an
 * assertion after `SANITIZED ||`. */
#define tcase_add_counting_test(tcase, test)                                  \
    do {                                                                      \
        if (SANITIZED)                                                        \
            (void)(test); /* which is in no case */                           \
        else                                                                  \
            tcase_add_test(tcase, test);                                      \
    } while (0)

static inline int
run_suite_with(Suite *suite, enum fork_status fork)
{
    SRunner *runner = srunner_create(suite);
    int failed;

    srunner_set_fork_status(runner, fork);
    srunner_run_all(runner, CK_ENV);
    failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}

/* The exit status; a process for each test, unless the user says otherwise. */
static inline int
run_suite(Suite *suite)
{
    return run_suite_with(suite, CK_FORK_GETENV);
}

/* The same in one process: for tests that hand on what they found, and for
 * many short ones. */
static inline int
run_suite_unforked(Suite *suite)
{
    return run_suite_with(suite, CK_NOFORK);
}

#endif
