/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_listing.c -- the built-in tables, for a reader. */
#include "generators/sites.h"

static const fc_table_entry *
find(const fc_tables *tables, const char *kind, const char *name)
{
    static fc_table_entry entry;
    size_t i;

    for (i = 0; i < fc_tables_count(tables); i++) {
        entry = fc_tables_at(tables, i);
        if (strcmp(entry.kind, kind) == 0 && strcmp(entry.name, name) == 0)
            return &entry;
    }
    return NULL;
}

static const char *
line_of(const fc_table_entry *entry, const char *key)
{
    size_t i;

    for (i = 0; i < entry->n_lines; i++)
        if (strcmp(entry->lines[i].key, key) == 0)
            return entry->lines[i].value;
    return NULL;
}

/* Each entry has a name and a source, which is not among its lines, and at
 * least one line. */
START_TEST(every_entry)
{
    fc_tables *tables = fc_tables_new(NULL);
    size_t i, k;

    ck_assert_ptr_nonnull(tables);
    ck_assert_uint_gt(fc_tables_count(tables), 50);
    for (i = 0; i < fc_tables_count(tables); i++) {
        const fc_table_entry entry = fc_tables_at(tables, i);

        ck_assert_uint_gt(strlen(entry.kind), 0);
        ck_assert_uint_gt(strlen(entry.name), 0);
        ck_assert_msg(strlen(entry.source) > 10, "[%s %s] source %s",
                      entry.kind, entry.name, entry.source);
        ck_assert_uint_gt(entry.n_lines, 0);
        for (k = 0; k < entry.n_lines; k++) {
            ck_assert_str_ne(entry.lines[k].key, "source");
            ck_assert_uint_gt(strlen(entry.lines[k].key), 0);
            ck_assert_uint_gt(strlen(entry.lines[k].value), 0);
        }
    }
    fc_tables_free(tables);
    fc_tables_free(NULL);
}
END_TEST

/* Those of one kind stand together. */
START_TEST(kinds_stand_together)
{
    fc_tables *tables = fc_tables_new(NULL);
    const size_t n = fc_tables_count(tables);
    size_t i, k, starts = 0;

    for (i = 0; i < n; i++) {
        const char *kind = fc_tables_at(tables, i).kind;

        if (i > 0 && strcmp(fc_tables_at(tables, i - 1).kind, kind) == 0)
            continue;
        starts++;
        for (k = 0; k < i; k++)
            ck_assert_str_ne(fc_tables_at(tables, k).kind, kind);
    }
    ck_assert_uint_eq(starts, 14);
    fc_tables_free(tables);
}
END_TEST

/* As published and as written: ASTM B88, Table 1, 1 in type L; the demand of
 * IPC Table E103.3(3) at 10 units; IPC Table 604.3, siphonic closet; UPC
 * Table 610.10, three closets. */
static const struct {
    const char *kind, *name, *key, *value, *source;
} known[] = {
    { "pipe", "copper L", "1 in", "1.125 in x 0.050 in", "ASTM B88" },
    { "demand", "ipc", "10", "14.6 gpm, 27.0 gpm", "Table E103.3(3)" },
    { "fixture", "ipc water closet, flush valve", "pressure", "35 psi",
      "Table 604.3" },
    { "falling", "closet", "3", "90", "Table 610.10" },
    { "minimum", "15 psi", "pressure", "15 psi", "E103.1" },
};

START_TEST(entry)
{
    fc_tables *tables = fc_tables_new(NULL);
    const fc_table_entry *e;
    const char *value;

    ck_assert_ptr_nonnull(tables);
    e = find(tables, known[_i].kind, known[_i].name);
    ck_assert_msg(e != NULL, "[%s %s]", known[_i].kind, known[_i].name);
    value = line_of(e, known[_i].key);
    ck_assert_ptr_nonnull(value);
    ck_assert_str_eq(value, known[_i].value);
    ck_assert_msg(strstr(e->source, known[_i].source) != NULL, "%s",
                  e->source);
    fc_tables_free(tables);
}
END_TEST

/* Two lists share nothing. */
START_TEST(by_itself)
{
    fc_tables *a = fc_tables_new(NULL), *b = fc_tables_new(NULL);
    size_t n;

    ck_assert(a && b);
    n = fc_tables_count(a);
    ck_assert_uint_eq(fc_tables_count(b), n);
    ck_assert_ptr_ne(fc_tables_at(a, 0).name, fc_tables_at(b, 0).name);
    fc_tables_free(a);
    ck_assert_uint_gt(strlen(fc_tables_at(b, n - 1).source), 0);
    fc_tables_free(b);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("listing");
    TCase *t = tcase_create("tables");

    tcase_add_test(t, every_entry);
    tcase_add_test(t, kinds_stand_together);
    tcase_add_loop_test(t, entry, 0, COUNT(known));
    tcase_add_test(t, by_itself);
    suite_add_tcase(suite, t);
    return run_suite(suite);
}
