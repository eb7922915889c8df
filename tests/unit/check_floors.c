/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_floors.c -- typical floors: one section for many floors. */
#include "site/reader.h"
#include "generators/sites.h"

/* ---- Lists ------------------------------------------------------------- */

static const struct {
    const char *list;
    int n, floors[12];
} lists[] = {
    { "2..5", 4, { 2, 3, 4, 5 } },
    { "7", 1, { 7 } },
    { "1, 3, 5..8", 6, { 1, 3, 5, 6, 7, 8 } },
    { "1,3,5..8", 6, { 1, 3, 5, 6, 7, 8 } },
    { "3 .. 4 , 9", 3, { 3, 4, 9 } },
    { "-2..1", 4, { -2, -1, 0, 1 } },
    { "-3..-2", 2, { -3, -2 } },
    { "5..5", 1, { 5 } },
    { "300", 1, { 300 } },
    { "-50", 1, { -50 } },
    { "", 0, { 0 } }, /* refused from here on */
    { "5..2", 0, { 0 } },
    { "1..", 0, { 0 } },
    { "..3", 0, { 0 } },
    { "1, ", 0, { 0 } },
    { "1,, 2", 0, { 0 } },
    { "1 2", 0, { 0 } },
    { "1--5", 0, { 0 } },
    { "1.5", 0, { 0 } },
    { "two", 0, { 0 } },
    { "2..5 ft", 0, { 0 } },
    { "301", 0, { 0 } },
    { "-51", 0, { 0 } },
    { "99999999999999999999", 0, { 0 } },
};

START_TEST(list)
{
    struct fci_entry entry = { "floors", lists[_i].list, 3, NULL, false };
    const struct fci_section section = { .kind = "pipe",
                                         .name = "r-{floor}",
                                         .line = 2,
                                         .entries = &entry,
                                         .n_entries = 1 };
    struct fci_arena arena = { 0 };
    fc_diagnostics *messages = fc_diagnostics_new();
    char want[256];
    int *floors, i;
    size_t n;

    ck_assert_int_eq(
        fci_floors_list(&section, "t.ini", &arena, &floors, &n, messages),
        lists[_i].n ? FC_OK : FC_EINPUT);
    if (lists[_i].n) {
        ck_assert_uint_eq(n, (size_t)lists[_i].n);
        for (i = 0; i < lists[_i].n; i++)
            ck_assert_int_eq(floors[i], lists[_i].floors[i]);
        ck_assert_uint_eq(fc_diagnostics_count(messages), 0);
    } else {
        snprintf(want, sizeof want,
                 "t.ini:3: [pipe r-{floor}] floors \"%s\" is not a list of "
                 "floors; whole numbers from -50 to 300 are expected, such "
                 "as 2..12 or 1, 3, 5..8\n",
                 lists[_i].list);
        ck_assert_str_eq(all_messages(messages), want);
    }
    fc_diagnostics_free(messages);
    fci_arena_free(&arena);
}
END_TEST

/* A floor that stands twice would be two parts of one name. */
START_TEST(floor_twice)
{
    struct fci_entry entry = { "floors", "1, 3, 2..4", 3, NULL, false };
    const struct fci_section section = { .kind = "pipe",
                                         .name = "r-{floor}",
                                         .line = 2,
                                         .entries = &entry,
                                         .n_entries = 1 };
    struct fci_arena arena = { 0 };
    fc_diagnostics *messages = fc_diagnostics_new();
    int *floors;
    size_t n;

    ck_assert_int_eq(
        fci_floors_list(&section, "t.ini", &arena, &floors, &n, messages),
        FC_EINPUT);
    ck_assert_str_eq(all_messages(messages),
                     "t.ini:3: [pipe r-{floor}] floors names floor 3 twice; "
                     "each floor is expected once\n");
    fc_diagnostics_free(messages);
    fci_arena_free(&arena);
}
END_TEST

START_TEST(no_list)
{
    const struct fci_section section = { .kind = "pipe",
                                         .name = "r-{floor}",
                                         .line = 2 };
    struct fci_arena arena = { 0 };
    fc_diagnostics *messages = fc_diagnostics_new();
    int *floors;
    size_t n;

    ck_assert_int_eq(
        fci_floors_list(&section, "t.ini", &arena, &floors, &n, messages),
        FC_EINPUT);
    ck_assert_str_eq(all_messages(messages),
                     "t.ini:2: [pipe r-{floor}] lacks \"floors\"; a name with "
                     "{floor} needs it, such as 2..12\n");
    fc_diagnostics_free(messages);
    fci_arena_free(&arena);
}
END_TEST

/* ---- Braces ------------------------------------------------------------ */

static const struct {
    const char *text;
    int floor;
    const char *want; /* NULL: refused */
} braces[] = {
    { "plain", 3, "plain" },
    { "r-{floor}", 3, "r-3" },
    { "r-{floor-1}", 3, "r-2" },
    { "r-{floor+1}", 3, "r-4" },
    { "{floor}{floor}", 12, "1212" },
    { "a{floor-1}b{floor}c{floor+1}d", 10, "a9b10c11d" },
    { "r-{floor-1}", 1, "r-0" },
    { "r-{floor-1}", 0, "r--1" },
    { "r-{floor}", -50, "r--50" },
    { "r-{floor+1}", 300, "r-301" },
    { "{floor}, {floor}, {floor}, {floor}, {floor}", -12,
      "-12, -12, -12, -12, -12" },
    { "{floor+2}", 3, NULL },
    { "{floor", 3, NULL },
    { "{Floor}", 3, NULL },
    { "{ floor }", 3, NULL },
    { "{}", 3, NULL },
    { "{storey}", 3, NULL },
    { "{{floor}", 3, NULL },
    { "floor}", 3, "floor}" },
};

START_TEST(brace)
{
    struct fci_entry entries[] = { { "floors", "1..3", 4, NULL, false },
                                   { "from", braces[_i].text, 5, NULL, false },
                                   { "size", "3 in", 6, NULL, false } };
    const struct fci_section section = { .kind = "pipe",
                                         .name = "p-{floor}",
                                         .line = 3,
                                         .entries = entries,
                                         .n_entries = 3 };
    struct fci_arena arena = { 0 };
    struct fci_section *out = NULL;
    fc_diagnostics *messages = fc_diagnostics_new();
    char want[256];

    ck_assert_int_eq(fci_floors_section(&section, braces[_i].floor, "t.ini",
                                        &arena, &out, messages),
                     braces[_i].want ? FC_OK : FC_EINPUT);
    if (braces[_i].want) {
        snprintf(want, sizeof want, "p-%d", braces[_i].floor);
        ck_assert_str_eq(out->name, want);
        ck_assert_str_eq(out->kind, "pipe");
        ck_assert_int_eq(out->line, 3);
        ck_assert_uint_eq(out->n_entries, 2); /* `floors` is left out */
        ck_assert_str_eq(out->entries[0].key, "from");
        ck_assert_str_eq(out->entries[0].value, braces[_i].want);
        ck_assert_int_eq(out->entries[0].line, 5);
        ck_assert_str_eq(out->entries[1].value, "3 in");
    } else {
        snprintf(want, sizeof want,
                 "t.ini:5: [pipe p-{floor}] holds \"%s\"; {floor}, {floor-1} "
                 "or {floor+1} is expected between braces\n",
                 braces[_i].text);
        ck_assert_str_eq(all_messages(messages), want);
    }
    ck_assert_str_eq(entries[1].value, braces[_i].text); /* not changed */
    fc_diagnostics_free(messages);
    fci_arena_free(&arena);
}
END_TEST

START_TEST(brace_in_name)
{
    const struct fci_section section = { .kind = "pipe",
                                         .name = "p-{floor}-{x}",
                                         .line = 3 };
    struct fci_arena arena = { 0 };
    struct fci_section *out = NULL;
    fc_diagnostics *messages = fc_diagnostics_new();

    ck_assert_int_eq(
        fci_floors_section(&section, 1, "t.ini", &arena, &out, messages),
        FC_EINPUT);
    ck_assert_str_eq(all_messages(messages),
                     "t.ini:3: [pipe p-{floor}-{x}] holds \"p-{floor}-{x}\"; "
                     "{floor}, {floor-1} or {floor+1} is expected between "
                     "braces\n");
    fc_diagnostics_free(messages);
    fci_arena_free(&arena);
}
END_TEST

START_TEST(typical)
{
    struct fci_section section = { .kind = "pipe", .name = "riser" };

    ck_assert(!fci_floors_typical(&section));
    section.name = "r-{floor}";
    ck_assert(fci_floors_typical(&section));
    section.name = "r-{floor-1}";
    ck_assert(fci_floors_typical(&section));
}
END_TEST

/* ---- A whole riser ----------------------------------------------------- */

/* Floors 2 to 4 stand on floor 1; each is the section written out. */
START_TEST(riser)
{
    fc_site *site =
        site_of("[source r-1]\nkind = fixed\npressure = 80 psi\n"
                "[pipe r-{floor}]\nfittings = none\nfloors = 2..4\nfrom = "
                "r-{floor-1}\nc = 140\n"
                "inside diameter = 1000 in\nlength = 200 ft\nrise = 10 ft\n"
                "[fixture wc-{floor}]\nfloors = 2, 4\non = r-{floor}\n"
                "kind = water closet, flush valve\ncount = 2\n");
    fc_check_result *r = NULL;

    ck_assert_int_eq(fc_check(site, &r, NULL), FC_OK);
    ck_assert_uint_eq(r->n_pipes, 3);
    ck_assert_str_eq(r->pipes[2].name, "r-4");
    ck_assert_str_eq(r->pipes[2].from, "r-3");
    ck_assert_uint_eq(r->n_fixtures, 2);
    ck_assert_str_eq(r->fixtures[1].name, "wc-4");
    ck_assert_double_eq_tol(r->fixtures[1].elevation, 30 * FOOT, 1e-9);
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("floors");
    TCase *t = tcase_create("lists");

    tcase_add_loop_test(t, list, 0, COUNT(lists));
    tcase_add_test(t, floor_twice);
    tcase_add_test(t, no_list);
    suite_add_tcase(suite, t);
    t = tcase_create("braces");
    tcase_add_loop_test(t, brace, 0, COUNT(braces));
    tcase_add_test(t, brace_in_name);
    tcase_add_test(t, typical);
    tcase_add_test(t, riser);
    suite_add_tcase(suite, t);
    return run_suite(suite);
}
