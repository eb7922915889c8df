/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_ground.c -- memory and diagnostics, on which all else
 * stands. */
#include "ground/diagnostics.h"
#include "ground/memory.h"
#include "ground/ties.h"

#include <check.h>
#include <stdalign.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- Arenas ------------------------------------------------------------ */

static bool
is_zero(const void *memory, size_t n)
{
    const unsigned char *bytes = memory;

    while (n > 0)
        if (bytes[--n])
            return false;
    return true;
}

/* Sizes around those of the blocks; each piece is zeroed, aligned and its
 * own: what is written there is still there in the end. */
START_TEST(arena_pieces)
{
    static const size_t sizes[] = { 0,    1,    7,     16,    17,     100,
                                    4095, 4096, 4097,  10000, 1,      65536,
                                    3,    8192, 12288, 1,     3000000 };
    enum { N = sizeof sizes / sizeof *sizes, TIMES = 20 };
    unsigned char *pieces[N * TIMES];
    struct fci_arena arena = { 0 };
    size_t i, j, changed = 0;

    for (i = 0; i < N * TIMES; i++) {
        const size_t size = sizes[i % N];

        pieces[i] = fci_arena_alloc(&arena, size);
        ck_assert_ptr_nonnull(pieces[i]);
        ck_assert_uint_eq((uintptr_t)pieces[i] % alignof(max_align_t), 0);
        ck_assert(is_zero(pieces[i], size));
        memset(pieces[i], (int)(i % 251 + 1), size);
    }
    for (i = 0; i < N * TIMES; i++)
        for (j = 0; j < sizes[i % N]; j += 61)
            changed += pieces[i][j] != i % 251 + 1;
    ck_assert_uint_eq(changed, 0);
    fci_arena_free(&arena);
    ck_assert_ptr_null(arena.blocks);
    fci_arena_free(&arena);
}
END_TEST

/* Pieces of no size are still two. */
START_TEST(arena_empty_pieces)
{
    struct fci_arena arena = { 0 };
    const void *a = fci_arena_alloc(&arena, 0);
    const void *b = fci_arena_alloc(&arena, 0);

    ck_assert_ptr_nonnull(a);
    ck_assert_ptr_nonnull(b);
    ck_assert_ptr_ne(a, b);
    fci_arena_free(&arena);
}
END_TEST

START_TEST(arena_overflow)
{
    struct fci_arena arena = { 0 };

    ck_assert_ptr_null(fci_arena_alloc(&arena, SIZE_MAX));
    ck_assert_ptr_null(fci_arena_alloc(&arena, SIZE_MAX - 15));
    ck_assert_ptr_null(fci_arena_alloc(&arena, SIZE_MAX / 2 + 1));
    ck_assert_ptr_null(fci_arena_array(&arena, SIZE_MAX, 2));
    ck_assert_ptr_null(fci_arena_array(&arena, 2, SIZE_MAX));
    /* The product would come out as 16 in 64 bits. */
    ck_assert_ptr_null(fci_arena_array(&arena, SIZE_MAX / 16 + 2, 16));
    ck_assert_ptr_nonnull(fci_arena_array(&arena, SIZE_MAX, 0));
    ck_assert_ptr_nonnull(fci_arena_array(&arena, 0, SIZE_MAX));
    ck_assert_ptr_nonnull(fci_arena_alloc(&arena, 1));
    fci_arena_free(&arena);
}
END_TEST

/* One look after many tells of any, until the arena starts anew. */
START_TEST(arena_remembers_failure)
{
    struct fci_arena arena = { 0 };

    ck_assert_ptr_nonnull(fci_arena_array(&arena, 3, 8));
    ck_assert(!arena.failed);
    ck_assert_ptr_null(fci_arena_array(&arena, SIZE_MAX, 2));
    ck_assert(arena.failed);
    ck_assert_ptr_nonnull(fci_arena_alloc(&arena, 1));
    ck_assert(arena.failed);
    fci_arena_free(&arena);
    ck_assert(!arena.failed);
}
END_TEST

/* An object and what its arena gives are each zeroed, aligned and apart. */
START_TEST(objects)
{
    enum { N = 1000 };
    unsigned char *object = fci_object_new(N), *pieces[N];
    size_t i;

    ck_assert_ptr_nonnull(object);
    ck_assert_uint_eq((uintptr_t)object % alignof(max_align_t), 0);
    ck_assert(is_zero(object, N));
    memset(object, 1, N);
    for (i = 0; i < N; i++) {
        pieces[i] = fci_arena_alloc(fci_arena_of(object), i);
        ck_assert_ptr_nonnull(pieces[i]);
        ck_assert(is_zero(pieces[i], i));
        memset(pieces[i], 2, i);
    }
    for (i = 0; i < N; i++)
        ck_assert_uint_eq(object[i], 1);
    ck_assert(!fci_arena_of(object)->failed);
    fci_object_free(object);
    fci_object_free(NULL);
    ck_assert_ptr_null(fci_object_new(SIZE_MAX / 2));
}
END_TEST

START_TEST(arena_copies)
{
    static const int numbers[] = { 3, 1, 2 };
    struct fci_arena arena = { 0 };
    char text[] = "riser";
    int *copy = fci_arena_copy(&arena, numbers, sizeof numbers);
    int *zeros = fci_arena_array(&arena, 3, sizeof *zeros);
    char *string = fci_arena_string(&arena, text);
    char *part = fci_arena_substring(&arena, text, 4);
    char *none = fci_arena_substring(&arena, text, 0);

    ck_assert_ptr_nonnull(copy);
    ck_assert_ptr_nonnull(zeros);
    ck_assert_ptr_nonnull(string);
    ck_assert_ptr_nonnull(part);
    ck_assert_ptr_nonnull(none);
    text[0] = 'x';
    ck_assert_mem_eq(copy, numbers, sizeof numbers);
    ck_assert(is_zero(zeros, 3 * sizeof *zeros));
    ck_assert_str_eq(string, "riser");
    ck_assert_str_eq(part, "rise");
    ck_assert_str_eq(none, "");
    ck_assert_ptr_nonnull(fci_arena_copy(&arena, NULL, 0));
    fci_arena_free(&arena);
}
END_TEST

START_TEST(arena_prints)
{
    struct fci_arena arena = { 0 };
    char *text = fci_arena_printf(&arena, "%s %d%%", "full", 100);
    char *wide = fci_arena_printf(&arena, "%5000d", 7);

    ck_assert_str_eq(text, "full 100%");
    ck_assert_uint_eq(strlen(wide), 5000);
    ck_assert_int_eq(wide[0], ' ');
    ck_assert_int_eq(wide[4999], '7');
    ck_assert_str_eq(fci_arena_printf(&arena, "%s", ""), "");
    fci_arena_free(&arena);
}
END_TEST

/* ---- Growing arrays ---------------------------------------------------- */

START_TEST(grows)
{
    size_t *numbers = NULL, capacity = 0, moves = 0, i;

    for (i = 0; i < 100000; i++) {
        const size_t before = capacity;
        size_t *grown = fci_grow(numbers, i, &capacity, sizeof *numbers);

        ck_assert_ptr_nonnull(grown);
        ck_assert_uint_gt(capacity, i);
        moves += capacity != before;
        numbers = grown;
        numbers[i] = i;
    }
    for (i = 0; i < 100000; i++)
        ck_assert_uint_eq(numbers[i], i);
    ck_assert_uint_le(moves, 17); /* as 2^17 > 100,000 */
    free(numbers);
}
END_TEST

START_TEST(keeps_what_has_room)
{
    int numbers[4];
    size_t capacity = 4;

    ck_assert_ptr_eq(fci_grow(numbers, 3, &capacity, sizeof *numbers),
                     numbers);
    ck_assert_uint_eq(capacity, 4);
}
END_TEST

START_TEST(does_not_overflow)
{
    char array[1];
    size_t capacity = SIZE_MAX / 4;

    ck_assert_ptr_null(fci_grow(array, capacity, &capacity, 8));
    ck_assert_uint_eq(capacity, SIZE_MAX / 4);
}
END_TEST

/* ---- Diagnostics ------------------------------------------------------- */

START_TEST(no_list)
{
    ck_assert_int_eq(fci_fail(NULL, FC_EIO, "a", 1, "%s", "x"), FC_EIO);
    ck_assert_uint_eq(fc_diagnostics_count(NULL), 0);
    ck_assert(!fci_failure_has_room(NULL));
    fc_diagnostics_free(NULL);
}
END_TEST

START_TEST(keeps_messages)
{
    fc_diagnostics *list = fc_diagnostics_new();
    char path[] = "site.ini", word[] = "main";
    fc_diagnostic m;

    ck_assert_ptr_nonnull(list);
    ck_assert_uint_eq(fc_diagnostics_count(list), 0);
    ck_assert_int_eq(fci_fail(list, FC_EINPUT, path, 3, "no \"%s\"", word),
                     FC_EINPUT);
    ck_assert_int_eq(fci_fail(list, FC_EIO, NULL, 0, "plain"), FC_EIO);
    ck_assert_int_eq(fci_fail(list, FC_EUNKNOWN, "other.ini", 0, "%d%%", 5),
                     FC_EUNKNOWN);
    memset(path, 'x', sizeof path - 1);
    memset(word, 'x', sizeof word - 1);
    ck_assert_uint_eq(fc_diagnostics_count(list), 3);
    m = fc_diagnostics_at(list, 0);
    ck_assert_int_eq(m.severity, FC_FAIL);
    ck_assert_str_eq(m.file, "site.ini");
    ck_assert_int_eq(m.line, 3);
    ck_assert_str_eq(m.text, "no \"main\"");
    m = fc_diagnostics_at(list, 1);
    ck_assert_ptr_null(m.file);
    ck_assert_int_eq(m.line, 0);
    ck_assert_str_eq(m.text, "plain");
    m = fc_diagnostics_at(list, 2);
    ck_assert_str_eq(m.file, "other.ini");
    ck_assert_str_eq(m.text, "5%");
    fc_diagnostics_free(list);
}
END_TEST

START_TEST(keeps_fifty)
{
    fc_diagnostics *list = fc_diagnostics_new();
    fc_diagnostic m;
    int i;

    ck_assert_ptr_nonnull(list);
    for (i = 0; i < 200; i++) {
        ck_assert_int_eq(fci_failure_has_room(list), i < 50);
        ck_assert_int_eq(fci_fail(list, FC_EINPUT, "a.ini", i, "no. %d", i),
                         FC_EINPUT);
    }
    ck_assert_uint_eq(fc_diagnostics_count(list), 51);
    m = fc_diagnostics_at(list, 49);
    ck_assert_int_eq(m.line, 49);
    ck_assert_str_eq(m.text, "no. 49");
    m = fc_diagnostics_at(list, 50);
    ck_assert_int_eq(m.severity, FC_FAIL);
    ck_assert_int_eq(m.line, 0);
    ck_assert_str_eq(m.text, "more is wrong; the first 50 messages are shown");
    fc_diagnostics_free(list);
}
END_TEST

/* ---- Ties -------------------------------------------------------------- */

/* 0.1 + 0.2 + 0.3 in another order, or on another machine, is no less; a
 * tenth of a pound per square inch (689 Pa) of a hundred is. */
START_TEST(less_by_more_than_rounding)
{
    const double one = 0.6000000000000001, other = 0.6;

    ck_assert(one != other);
    ck_assert(!fci_is_less(one, other) && !fci_is_less(other, one));
    ck_assert(fci_coarse(one) == fci_coarse(other));
    ck_assert(!fci_is_less(one - 0.6, other - 0.6));
    ck_assert(!fci_is_less(other - 0.6, one - 0.6));
    ck_assert(fci_is_less(689476 - 689, 689476));
    ck_assert(!fci_is_less(689476, 689476 - 689));
    ck_assert(fci_is_less(-689476, -689476 + 689));
    ck_assert(fci_coarse(689476 - 689) < fci_coarse(689476));
    ck_assert(fci_coarse(1e-200) < fci_coarse(1e-199));
}
END_TEST

START_TEST(less_than_infinite)
{
    ck_assert(fci_is_less(1, INFINITY));
    ck_assert(fci_is_less(-INFINITY, 1));
    ck_assert(!fci_is_less(INFINITY, INFINITY));
    ck_assert(!fci_is_less(INFINITY, 1));
    ck_assert(!fci_is_less(NAN, 1) && !fci_is_less(1, NAN));
    ck_assert(isinf(fci_coarse(INFINITY)));
}
END_TEST

/* ---- All --------------------------------------------------------------- */

static Suite *
memory_suite(void)
{
    Suite *suite = suite_create("memory");
    TCase *t = tcase_create("arena");

    tcase_add_test(t, arena_pieces);
    tcase_add_test(t, arena_empty_pieces);
    tcase_add_test(t, arena_overflow);
    tcase_add_test(t, arena_remembers_failure);
    tcase_add_test(t, objects);
    tcase_add_test(t, arena_copies);
    tcase_add_test(t, arena_prints);
    suite_add_tcase(suite, t);
    t = tcase_create("growing");
    tcase_add_test(t, grows);
    tcase_add_test(t, keeps_what_has_room);
    tcase_add_test(t, does_not_overflow);
    suite_add_tcase(suite, t);
    return suite;
}

static Suite *
diagnostics_suite(void)
{
    Suite *suite = suite_create("diagnostics");
    TCase *t = tcase_create("list");

    tcase_add_test(t, no_list);
    tcase_add_test(t, keeps_messages);
    tcase_add_test(t, keeps_fifty);
    suite_add_tcase(suite, t);
    return suite;
}

static Suite *
ties_suite(void)
{
    Suite *suite = suite_create("ties");
    TCase *t = tcase_create("less");

    tcase_add_test(t, less_by_more_than_rounding);
    tcase_add_test(t, less_than_infinite);
    suite_add_tcase(suite, t);
    return suite;
}

int
main(void)
{
    SRunner *runner = srunner_create(memory_suite());
    int failed;

    srunner_add_suite(runner, diagnostics_suite());
    srunner_add_suite(runner, ties_suite());
    srunner_run_all(runner, CK_NORMAL);
    failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
