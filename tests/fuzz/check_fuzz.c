/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/fuzz/check_fuzz.c -- every fuzz target, on its seeds and on a few
 * inputs that are drawn. */
#include "fuzz/fuzz.h"
#include "unit/suite.h"

#include <string.h>

#define RUNS 30

/* Each seed of its own is accepted and holds, by every oracle; those of
 * tests/corpus are in unit/check_corpus. */
START_TEST(seeds_hold)
{
    const struct fuzz_target *target = &fuzz_targets[_i];
    const struct fuzz_seed *seeds;
    const size_t n = fuzz_seeds(target, &seeds);
    size_t own = 0;

    fuzz_thorough = true;
    for (size_t i = 0; i < n; i++) {
        const char *broken;

        if (!strstr(seeds[i].path, "/fuzz/corpus/"))
            continue;
        own++;
        broken =
            fuzz_run(target, (const uint8_t *)seeds[i].text, seeds[i].length);
        ck_assert_msg(!broken, "%s: does not hold: %s", seeds[i].path, broken);
    }
    fuzz_thorough = false;
    ck_assert(own > 0 || strcmp(target->name, "site") == 0);
}
END_TEST

/* What is drawn is mostly read, or the fuzzer tries the reader alone. */
START_TEST(drawn_inputs_hold)
{
    static uint8_t text[FUZZ_LARGEST];
    const struct fuzz_target *target = &fuzz_targets[_i];
    const int runs = sample(RUNS);
    int accepted = 0;

    ck_assert(fuzz_begin(target, 1));
    for (int i = 0; i < runs; i++) {
        const size_t n = fuzz_next(target, text);
        const char *broken = fuzz_run(target, text, n);

        ck_assert_msg(!broken, "%s, input %d: does not hold: %s\n%.*s",
                      target->name, i, broken, (int)n, (const char *)text);
        accepted += fuzz_outcome.accepted;
        if (fuzz_outcome.accepted)
            fuzz_keep(text, n);
    }
    ck_assert(SANITIZED || accepted >= RUNS / 10);
}
END_TEST

/* The same seed gives the same inputs. */
START_TEST(drawn_again)
{
    static uint8_t texts[2][FUZZ_LARGEST];
    size_t sizes[2];

    for (int k = 0; k < 2; k++) {
        ck_assert(fuzz_begin(&fuzz_targets[_i], 7));
        for (int i = 0; i < 5; i++)
            sizes[k] = fuzz_next(&fuzz_targets[_i], texts[k]);
    }
    ck_assert_uint_eq(sizes[0], sizes[1]);
    ck_assert_mem_eq(texts[0], texts[1], sizes[0]);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("fuzz");
    TCase *tcase = tcase_create("targets");

    tcase_set_timeout(tcase, 120);
    tcase_add_loop_test(tcase, seeds_hold, 0, (int)fuzz_n_targets);
    tcase_add_loop_test(tcase, drawn_inputs_hold, 0, (int)fuzz_n_targets);
    tcase_add_loop_test(tcase, drawn_again, 0, (int)fuzz_n_targets);
    suite_add_tcase(suite, tcase);
    return run_suite(suite);
}
