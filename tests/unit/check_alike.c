/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_alike.c -- many fixtures told in a few words.
 *
 * What is to be said of each list was written down by hand.
 */
#include "ground/stem.h"
#include "report/alike.h"
#include "unit/suite.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define WC "water closet, flush valve"
#define UR "urinal, flush valve"
#define LAV "lavatory"
#define MOST_ITEMS 9

/* Of each item: name, kind, count, margin, of a typical floor, which is the
 * number in its name, and chosen. */
static const struct {
    struct fci_alike_item items[MOST_ITEMS];
    const char *told;
} lists[] = {
    { { { "wc", WC, 2, -1, false, 0, true } }, "wc (2)" },
    { { { "wc", WC, 2, -1, false, 0, false } }, "" },
    /* a number alone is not a floor's */
    { { { "wc-6", WC, 2, -1, false, 0, true },
        { "women-6", WC, 3, -2, false, 0, true } },
      "women-6 (3); wc-6 (2)" },
    /* both closets of floor 6, the urinal there apart */
    { { { "women-wc-6", WC, 3, -3, true, 6, true },
        { "men-wc-6", WC, 2, -2, true, 6, true },
        { "urinal-6", UR, 1, -1, true, 6, true },
        { "women-wc-5", WC, 3, 2, true, 5, false },
        { "men-wc-5", WC, 2, 2, true, 5, false } },
      "floor 6 closets (5); urinal-6 (1)" },
    /* one closet of floor 6 works: the floor is not named */
    { { { "women-wc-6", WC, 3, -3, true, 6, true },
        { "men-wc-6", WC, 2, 2, true, 6, false } },
      "women-wc-6 (3)" },
    /* floors next to each other, in whatever order they come */
    { { { "wc-3", WC, 1, -1, true, 3, true },
        { "wc-2", WC, 1, -2, true, 2, true },
        { "wc-4", WC, 1, -3, true, 4, true },
        { "wc-6", WC, 1, -4, true, 6, true },
        { "wc-5", WC, 1, 1, true, 5, false } },
      "wc-6 (1); floors 2-4 closets (3)" },
    /* ground floor by itself: its number alone is no floor */
    { { { "wc-1", WC, 4, -1, false, 0, true },
        { "wc-2", WC, 4, -1, true, 2, true } },
      "wc-1 (4); wc-2 (4)" },
    { { { "lav-1", LAV, 1, -1, true, 1, true },
        { "lav-2", LAV, 1, -1, true, 2, true } },
      "floors 1-2 lavatories (2)" },
    /* a number within the name, and below the ground */
    { { { "b2-wc", WC, 1, -1, true, 2, true },
        { "b1-wc", WC, 1, -1, true, 1, true } },
      "floors 1-2 closets (2)" },
    { { { "wc--1", WC, 1, -1, true, -1, true },
        { "wc-0", WC, 1, -1, true, 0, true },
        { "wc-1", WC, 1, 1, true, 1, false } },
      "floors -1 to 0 closets (2)" },
    /* rows of names that are no floors */
    { { { "wc-101", WC, 1, -1, false, 0, true },
        { "wc-102", WC, 1, -2, false, 0, true },
        { "wc-103", WC, 1, -1, false, 0, true },
        { "wc-104", WC, 1, 1, false, 0, false },
        { "wc-105", WC, 1, -1, false, 0, true },
        { "wc-106", WC, 1, -1, false, 0, true } },
      "wc-101 to wc-103 (3); wc-105 and wc-106 (2)" },
    /* the same name but for the number, of another kind */
    { { { "x-1", WC, 1, -1, false, 0, true },
        { "x-2", UR, 1, -1, false, 0, true } },
      "x-1 (1); x-2 (1)" },
    /* of a name that takes more than 14 columns the end */
    { { { "north-wing-wc-1", WC, 1, -1, false, 0, true } },
      "...h-wing-wc-1 (1)" },
    /* more digits than a floor has */
    { { { "wc-20240301", WC, 1, -1, false, 0, true },
        { "wc-20240302", WC, 1, -1, false, 0, true } },
      "wc-20240301 (1); wc-20240302 (1)" },
};

START_TEST(told_in_few_words)
{
    const struct fci_alike_item *items = lists[_i].items;
    struct fci_arena arena = { 0 };
    struct fci_alike *groups;
    size_t n = 0, n_groups = 0, size = 0;
    char *told = NULL;
    FILE *out = open_memstream(&told, &size);

    ck_assert_ptr_nonnull(out);
    while (n < MOST_ITEMS && items[n].name)
        n++;
    groups = fci_alike_find(&arena, items, n, &n_groups);
    ck_assert_ptr_nonnull(groups);
    for (size_t i = 0; i < n_groups; i++) {
        fputs(i > 0 ? "; " : "", out);
        fci_alike_write(out, items, &groups[i], 14);
        fprintf(out, " (%d)", groups[i].count);
    }
    ck_assert_int_eq(fclose(out), 0);
    ck_assert_str_eq(told, lists[_i].told);
    free(told);
    fci_arena_free(&arena);
}
END_TEST

/* ---- Names ------------------------------------------------------------ */

static const struct {
    const char *a, *b;
    bool alike;
} pairs[] = {
    { "wc-3-12", "wc-40-1", true },
    { "wc-3-a", "wc-3-b", false },
    { "wc-3", "wc-", false },
    { "wc", "wc", true },
    { "", "", true },
    { "3", "40", true },
    { "wc-3", "wc-3x", false },
};

START_TEST(alike_but_for_numbers)
{
    ck_assert_int_eq(fci_names_alike(pairs[_i].a, pairs[_i].b),
                     pairs[_i].alike);
    ck_assert_int_eq(fci_names_alike(pairs[_i].b, pairs[_i].a),
                     pairs[_i].alike);
}
END_TEST

static const struct {
    const char *name;
    size_t before, digits;
    const char *behind;
} stems[] = {
    { "wc-3-12", 5, 2, "" }, { "wc-3-a", 3, 1, "-a" }, { "7", 0, 1, "" },
    { "lav", 3, 0, "" },     { "", 0, 0, "" },         { "a007b", 1, 3, "b" },
};

START_TEST(around_the_last_number)
{
    const struct fci_stem stem = fci_stem_of(stems[_i].name);

    ck_assert_uint_eq(stem.before, stems[_i].before);
    ck_assert_uint_eq(stem.digits, stems[_i].digits);
    ck_assert_str_eq(stem.behind, stems[_i].behind);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("alike");
    TCase *t = tcase_create("told");

    tcase_add_loop_test(t, told_in_few_words, 0,
                        (int)(sizeof lists / sizeof *lists));
    tcase_add_loop_test(t, alike_but_for_numbers, 0,
                        (int)(sizeof pairs / sizeof *pairs));
    tcase_add_loop_test(t, around_the_last_number, 0,
                        (int)(sizeof stems / sizeof *stems));
    suite_add_tcase(suite, t);
    return run_suite(suite);
}
