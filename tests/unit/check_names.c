/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_names.c -- the table of names, and the nearest known one.
 */
#include "ground/names.h"
#include "unit/suite.h"

#include <fnmatch.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- The table --------------------------------------------------------- */

static const struct {
    const char *a, *b;
    bool same;
} pairs[] = {
    { "", "", true },
    { "Riser-2", "rISER-2", true },
    { "AZaz", "azAZ", true },
    { "a", "", false },
    { "riser", "riser-2", false },
    { "a@[", "A`{", false },           /* next to the letters in ASCII */
    { "\xc3\x84", "\xc3\xa4", false }, /* ASCII alone is folded */
    { "\xc3\x84", "\xc3\x84", true },
};

START_TEST(same_but_for_case)
{
    struct fci_names names = { 0 };
    size_t value = 1;
    bool known;

    ck_assert_int_eq(fci_same_name(pairs[_i].a, pairs[_i].b), pairs[_i].same);
    ck_assert_int_eq(fci_same_name(pairs[_i].b, pairs[_i].a), pairs[_i].same);
    ck_assert_int_eq(fci_names_enter(&names, pairs[_i].a, &value, &known),
                     FC_OK);
    ck_assert(!known);
    ck_assert_uint_eq(fci_names_find(&names, pairs[_i].b),
                      pairs[_i].same ? 1 : FCI_NO_NAME);
    fci_names_free(&names);
}
END_TEST

START_TEST(empty_table)
{
    struct fci_names names = { 0 };

    ck_assert_uint_eq(fci_names_find(&names, ""), FCI_NO_NAME);
    ck_assert_uint_eq(fci_names_find(&names, "a"), FCI_NO_NAME);
    fci_names_free(&names);
    ck_assert_ptr_null(names.slots);
}
END_TEST

START_TEST(first_wins)
{
    struct fci_names names = { 0 };
    size_t value = 7;
    bool known = true;

    ck_assert_int_eq(fci_names_enter(&names, "Main", &value, &known), FC_OK);
    ck_assert(!known);
    ck_assert_uint_eq(value, 7);
    value = 8;
    ck_assert_int_eq(fci_names_enter(&names, "MAIN", &value, &known), FC_OK);
    ck_assert(known);
    ck_assert_uint_eq(value, 7);
    ck_assert_uint_eq(names.n_names, 1);
    ck_assert_uint_eq(fci_names_find(&names, "main"), 7);
    fci_names_free(&names);
    ck_assert_uint_eq(names.n_names, 0);
    ck_assert_uint_eq(fci_names_find(&names, "main"), FCI_NO_NAME);
}
END_TEST

#define MANY 50000

START_TEST(many_names)
{
    struct fci_names names = { 0 };
    char(*text)[16] = calloc(MANY, sizeof *text), other[16];
    size_t i, value;
    bool known;

    ck_assert_ptr_nonnull(text);
    for (i = 0; i < MANY; i++) {
        snprintf(text[i], sizeof text[i], "Riser-%zu", i);
        value = i;
        ck_assert_int_eq(fci_names_enter(&names, text[i], &value, &known),
                         FC_OK);
        ck_assert(!known);
        /* Looking up a name that is not there ends at a free slot. */
        ck_assert_uint_gt(names.n_slots * 7, (names.n_names - 1) * 10);
        ck_assert_uint_eq(names.n_slots & (names.n_slots - 1), 0);
    }
    ck_assert_uint_eq(names.n_names, MANY);
    for (i = 0; i < MANY; i++) {
        snprintf(other, sizeof other, "rISER-%zu", i);
        ck_assert_uint_eq(fci_names_find(&names, other), i);
        snprintf(other, sizeof other, "pipe-%zu", i);
        ck_assert_uint_eq(fci_names_find(&names, other), FCI_NO_NAME);
    }
    fci_names_free(&names);
    free(text);
}
END_TEST

/* ---- The nearest name -------------------------------------------------- */

/* Distances counted by hand; each letter is touched once at most, so that
 * "ca" to "abc" takes three (F. J. Damerau's slips, without the further ones
 * between swapped letters). */
static const struct {
    const char *word, *candidate;
    size_t distance; /* SIZE_MAX: too far */
} distances[] = {
    { "riser", "riser", 0 },
    { "RISER", "riser", 0 },
    { "rise", "riser", 1 },
    { "riiser", "riser", 1 },
    { "risar", "riser", 1 },
    { "rsier", "riser", 1 },
    { "Irser", "riser", 1 },
    { "risre", "riser", 1 },
    { "irsre", "riser", SIZE_MAX },
    { "rsr", "riser", 2 },
    { "r", "riser", SIZE_MAX },
    { "ca", "abc", SIZE_MAX }, /* three */
    { "lenght", "length", 1 },
    { "fiting", "fittings", 2 },
    { "residul flwo", "residual flow", 2 },
    { "diameter inside", "inside diameter", SIZE_MAX },
    { "rpz", "reg", SIZE_MAX },     /* two of three */
    { "meter", "water", SIZE_MAX }, /* two, and it begins otherwise */
    { "ruf", "roof", 2 },
    { "to", "c", SIZE_MAX }, /* two, but nothing is left */
    { "sz", "size", 2 },
    { "", "c", SIZE_MAX },
    { "", "", SIZE_MAX },
    { "c", "", SIZE_MAX },
    { "abcdef", "abcxyz", SIZE_MAX },       /* three of six */
    { "abcdefghi", "abcdefxyz", 3 },        /* a third */
    { "abcdefghi", "abcdewxyz", SIZE_MAX }, /* four of nine */
    { "abcdefghijk", "abcdefghxyz", 3 },
    { "abcdefghijk", "abcdefgwxyz", SIZE_MAX },
    { "abcdefghijkl", "bacdfeghjikl", 3 },
    { "abcdefghijkl", "abcdefghijklmnop", 4 },
    { "abcdefghijkl", "abcdefghijklmnopq", SIZE_MAX },
};

START_TEST(distance)
{
    const char *const candidate = distances[_i].candidate;
    struct fci_nearest nearest = fci_nearest_to(distances[_i].word);

    ck_assert_ptr_null(fci_nearest_word(&nearest));
    fci_nearest_try(&nearest, candidate);
    ck_assert_uint_eq(nearest.distance, distances[_i].distance);
    ck_assert_ptr_eq(fci_nearest_word(&nearest),
                     distances[_i].distance == SIZE_MAX ? NULL : candidate);
}
END_TEST

static const char *const known[] = { "size",  "rise",   "riser", "from",
                                     "floor", "length", "loss",  "stop" };
#define N_KNOWN (sizeof known / sizeof *known)

static const struct {
    const char *word, *nearest;
} choices[] = {
    { "rise", "rise" },   { "riise", "rise" }, { "risers", "riser" },
    { "form", "from" },   { "LOS", "loss" },   { "lenth", "length" },
    { "flour", "floor" }, { "pump", NULL },    { "temperature", NULL },
};

/* The order in which candidates are tried does not matter. */
START_TEST(nearest_of_all)
{
    const char *const want = choices[_i].nearest;
    struct fci_nearest forth = fci_nearest_to(choices[_i].word);
    struct fci_nearest back = forth, table = forth;
    struct fci_names names = { 0 };
    size_t i, value;
    bool is_known;

    for (i = 0; i < N_KNOWN; i++) {
        value = i;
        ck_assert_int_eq(fci_names_enter(&names, known[i], &value, &is_known),
                         FC_OK);
        fci_nearest_try(&forth, known[i]);
        fci_nearest_try(&back, known[N_KNOWN - 1 - i]);
    }
    fci_nearest_try_names(&table, &names);
    ck_assert_pstr_eq(fci_nearest_word(&forth), want);
    ck_assert_pstr_eq(fci_nearest_word(&back), want);
    ck_assert_pstr_eq(fci_nearest_word(&table), want);
    fci_names_free(&names);
}
END_TEST

/* A suggestion never changes what was said: no other number, no word for one
 * that is known, none of two that are as near. */
static const struct {
    const char *word, *candidates[4], *nearest;
} meanings[] = {
    { "wc-1", { "wc-3", "WC-2", "wc-4" }, NULL },
    { "wcc-1", { "wc-1", "wc-2" }, "wc-1" },
    { "copper N", { "copper K", "copper L", "copper M" }, NULL },
    { "coper L", { "copper K", "copper L", "copper M" }, "copper L" },
    { "steel sch 80", { "steel sch 40" }, NULL },
    { "flushometer valve", { "flushometer tank", "flush valve" }, NULL },
    { "flushometer tnak",
      { "flushometer tank", "flush tank" },
      "flushometer tank" },
    { "minimum static", { "maximum static", "minimum flowing" }, NULL },
    { "mimimum flowing",
      { "maximum flowing", "minimum flowing" },
      "minimum flowing" },
    { "tike", { "time", "take" }, NULL }, /* as near to both */
    { "flushvalve", { "flush valve" }, "flush valve" },
    { "flush", { "flush valve" }, NULL },
};

START_TEST(meaning_is_kept)
{
    struct fci_nearest nearest = fci_nearest_to(meanings[_i].word);
    size_t i;

    for (i = 0; i < 4 && meanings[_i].candidates[i]; i++)
        fci_nearest_try(&nearest, meanings[_i].candidates[i]);
    ck_assert_pstr_eq(fci_nearest_word(&nearest), meanings[_i].nearest);
}
END_TEST

/* Of a synonym what it means is suggested, and of terms short ones are not. */
START_TEST(terms)
{
    struct fci_nearest nearest = fci_nearest_to("toliet tank");

    nearest.term = true;
    fci_nearest_try_for(&nearest, "toilet tank", "water closet, flush tank");
    fci_nearest_try_for(&nearest, "tank toilet", "water closet, flush tank");
    ck_assert_str_eq(fci_nearest_word(&nearest), "water closet, flush tank");
    nearest = fci_nearest_to("gold");
    nearest.term = true;
    fci_nearest_try(&nearest, "galv");
    ck_assert_ptr_null(fci_nearest_word(&nearest));
    nearest = fci_nearest_to("ft");
    nearest.term = true;
    fci_nearest_try(&nearest, "fv");
    ck_assert_ptr_null(fci_nearest_word(&nearest));
}
END_TEST

/* Words of 64 bytes are compared, longer ones are not. */
START_TEST(long_words)
{
    char word[66], candidate[66];
    struct fci_nearest nearest;

    memset(word, 'a', 65);
    memset(candidate, 'a', 65);
    candidate[10] = 'b';
    word[64] = candidate[64] = '\0';
    nearest = fci_nearest_to(word);
    fci_nearest_try(&nearest, candidate);
    ck_assert_ptr_eq(fci_nearest_word(&nearest), candidate);
    ck_assert_uint_eq(nearest.distance, 1);
    word[64] = 'a';
    word[65] = '\0';
    nearest = fci_nearest_to(word);
    fci_nearest_try(&nearest, candidate);
    ck_assert_ptr_null(fci_nearest_word(&nearest));
    nearest = fci_nearest_to(candidate);
    fci_nearest_try(&nearest, word);
    ck_assert_ptr_null(fci_nearest_word(&nearest));
}
END_TEST

/* ---- Patterns ---------------------------------------------------------- */

static const struct {
    const char *pattern, *name;
    bool matches;
} patterns[] = {
    { "lav-*", "lav-1", true },
    { "lav-*", "LAV-", true },
    { "LAV-*", "lav-2.a", true },
    { "lav-*", "lav", false },
    { "*", "", true },
    { "*", "x", true },
    { "", "", true },
    { "", "x", false },
    { "x", "", false },
    { "wc", "wc", true },
    { "wc", "wc-1", false },
    { "*-2", "wc-1-2", true },
    { "*-2", "wc-1-2b", false },
    { "w*-*2", "wc-1-2", true },
    { "a*b*c", "aXbXbXc", true },
    { "a*b*c", "aXbXbX", false },
    { "**", "", true },
    { "a**b", "ab", true },
    { "*aab", "aaaab", true },
    { "*aab", "aaaabb", false },
    { "wc-?", "wc-1", false },
    { "wc-[1]", "wc-1", false },
    { "w*c",
      "w\xc3\xa4"
      "c",
      true },
};

START_TEST(pattern)
{
    ck_assert_int_eq(fci_name_matches(patterns[_i].pattern, patterns[_i].name),
                     patterns[_i].matches);
    ck_assert_int_eq(fci_is_pattern(patterns[_i].pattern),
                     strchr(patterns[_i].pattern, '*') != NULL);
}
END_TEST

/* The n-th text over three letters; the empty one is the 0th. */
static void
nth_text(int n, const char *letters, char *text)
{
    for (; n > 0; n = (n - 1) / 3)
        *text++ = letters[(n - 1) % 3];
    *text = '\0';
}

/* Every pattern of up to five characters against every name of up to six, as
 * fnmatch() of POSIX has it. */
START_TEST(patterns_of_posix)
{
    char text[16], name[16];
    int i, k, matches = 0;

    for (i = 0; i < 364; i++)
        for (k = 0; k < 1093; k++) {
            nth_text(i, "*ab", text);
            nth_text(k, "abc", name);
            ck_assert_msg(fci_name_matches(text, name)
                              == (fnmatch(text, name, FNM_NOESCAPE) == 0),
                          "%s of %s", text, name);
            matches += fci_name_matches(text, name);
        }
    ck_assert_int_gt(matches, 10000);
}
END_TEST

/* ---- All --------------------------------------------------------------- */

#define ROWS(a) ((int)(sizeof(a) / sizeof *(a)))

static Suite *
names_suite(void)
{
    Suite *suite = suite_create("names");
    TCase *t = tcase_create("table");

    tcase_add_loop_test(t, same_but_for_case, 0, ROWS(pairs));
    tcase_add_test(t, empty_table);
    tcase_add_test(t, first_wins);
    tcase_add_test(t, many_names);
    suite_add_tcase(suite, t);
    t = tcase_create("nearest");
    tcase_add_loop_test(t, distance, 0, ROWS(distances));
    tcase_add_loop_test(t, nearest_of_all, 0, ROWS(choices));
    tcase_add_loop_test(t, meaning_is_kept, 0, ROWS(meanings));
    tcase_add_test(t, terms);
    tcase_add_test(t, long_words);
    suite_add_tcase(suite, t);
    t = tcase_create("patterns");
    tcase_add_loop_test(t, pattern, 0, ROWS(patterns));
    tcase_add_test(t, patterns_of_posix);
    suite_add_tcase(suite, t);
    return suite;
}

int
main(void)
{
    return run_suite(names_suite());
}
