/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/change_of_files.c -- site files copied, written and changed. */
#include "unit/change_outcomes.h"
#include "generators/change_sites.h"
#include "unit/change_suite.h"

#include <glob.h>

static glob_t files;

/* Of examples/ and tests/cases/; called before any test runs. */
static void
find_files(void)
{
    static const char *const folders[] = { "examples", "tests/cases" };
    const char *srcdir = getenv("srcdir");
    char pattern[1024];
    int i;

    for (i = 0; i < COUNT(folders); i++) {
        snprintf(pattern, sizeof pattern, "%s/%s/*.ini", srcdir ? srcdir : ".",
                 folders[i]);
        glob(pattern, i > 0 ? GLOB_APPEND : 0, NULL, &files);
    }
}

static void
forget_files(void)
{
    globfree(&files);
}

START_TEST(there_are_files)
{
    ck_assert_uint_gt(files.gl_pathc, 10);
}
END_TEST

static fc_site *
read_file(int i)
{
    fc_site *site = NULL;

    ck_assert_int_eq(fc_site_read(files.gl_pathv[i], &site, NULL), FC_OK);
    return site;
}

START_TEST(copy_of_a_file)
{
    const fc_check_options *options = SANITIZED ? &at_peak : &drawn;
    fc_site *site = read_file(_i), *copy, *twice;
    struct outcome known = outcome_of(site, options);

    copy = changed_site(site, NULL, 0);
    fc_site_free(site); /* the copy stands by itself */
    twice = changed_site(copy, NULL, 0);
    same_as_known(&known, copy, options, 0);
    same_as_known(&known, twice, options, 0);
    outcome_end(&known);
    fc_site_free(copy);
    fc_site_free(twice);
}
END_TEST

START_TEST(file_written)
{
    fc_site *site = read_file(_i), *copy = changed_site(site, NULL, 0);
    fc_site *again = read_written(site, NULL, 0);
    fc_site *spelled = read_written(copy, NULL, 0);

    same_sites(site, again, &at_peak, 0);
    same_sites(site, spelled, &at_peak, 0);
    fc_site_free(spelled);
    fc_site_free(again);
    fc_site_free(copy);
    fc_site_free(site);
}
END_TEST

/* Every fourth part of a file changed, by a key that its kind has. */
START_TEST(file_changed)
{
    fc_site *site = read_file(_i), *changed, *again;
    struct fci_change *changes;
    size_t i, n = 0;

    changes = calloc(site->n_parts, sizeof *changes);
    ck_assert_ptr_nonnull(changes);
    for (i = 0; i < site->n_parts; i++) {
        const struct fci_part *part = &site->parts[i];

        if (part->kind != FCI_SOURCE
            && (i % 4
                || !(fci_is_element(part->kind) || part->kind == FCI_FIXTURE)))
            continue;
        changes[n++] = (struct fci_change){
            part->kind, part->name,
            part->kind == FCI_SOURCE ? "elevation" : "rise", "1..2 ft", NULL
        };
    }
    ck_assert_uint_gt(n, 0);
    if (n > 1)
        changes[n - 1].value = NULL;
    changed = changed_site(site, changes, n);
    again = read_written(site, changes, n);
    same_sites(changed, again, &at_peak, 0);
    free(changes);
    fc_site_free(again);
    fc_site_free(changed);
    fc_site_free(site);
}
END_TEST

TCase *
change_of_files(void)
{
    TCase *t = tcase_create("files");
    int n;

    find_files();
    n = (int)files.gl_pathc;
    tcase_add_unchecked_fixture(t, NULL, forget_files);
    tcase_add_test(t, there_are_files);
    tcase_add_loop_test(t, copy_of_a_file, 0, n);
    tcase_add_loop_test(t, file_written, 0, n);
    tcase_add_loop_test(t, file_changed, 0, n);
    return t;
}
