/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/check_allocation.c -- what happens when memory runs out.
 *
 * Each piece of work is done again and again, with one allocation after the
 * other made to fail, until none is left that could.  It must say FC_ENOMEM,
 * or succeed by another way, and leave nothing behind.
 */
#include "allocation.h"
#include "diagnostics.h"
#include "ini.h"
#include "names.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* ---- The work ---------------------------------------------------------- */

/* One returns FC_ENOMEM, or FC_OK after it has checked what came out. */
typedef fc_status work(void);

/* Check allocates for each of its assertions, so they have to wait until
 * allocations no longer fail. */
static const char *not_as_expected; /* the first such thing */

#define EXPECT(condition)                                                     \
    do                                                                        \
        if (!(condition) && !not_as_expected)                                 \
            not_as_expected = #condition;                                     \
    while (0)

#define N_SECTIONS 60 /* several blocks for iniparser, growing arrays */

static char *
site_text(void)
{
    static char text[N_SECTIONS * 100];
    size_t at = 0;
    int i;

    for (i = 0; i < N_SECTIONS; i++)
        at += (size_t)snprintf(text + at, sizeof text - at,
                               "[pipe riser-%d]\nfrom = main\nsize = %d in\n"
                               "rise = 12'-6\" ; c\n",
                               i, i);
    return text;
}

static void
check_site(const struct fci_ini *ini)
{
    char size[16];
    size_t i;

    EXPECT(ini->n_sections == N_SECTIONS);
    for (i = 0; i < N_SECTIONS; i++) {
        const struct fci_section *s = &ini->sections[i];

        snprintf(size, sizeof size, "%zu in", i);
        EXPECT(s->n_entries == 3);
        EXPECT(strcmp(s->entries[0].value, "main") == 0);
        EXPECT(strcmp(s->entries[1].value, size) == 0);
        EXPECT(strcmp(s->entries[2].value, "12'-6\"") == 0);
    }
}

static fc_status
read_site(void)
{
    const char *text = site_text();
    struct fci_ini ini = { 0 };
    const fc_status status =
        fci_ini_read_text(&ini, text, strlen(text), "site.ini", NULL);

    if (status == FC_OK) {
        check_site(&ini);
    } else {
        EXPECT(!ini.arena.blocks);
        EXPECT(!ini.sections);
        EXPECT(ini.n_sections == 0);
    }
    fci_ini_free(&ini);
    return status;
}

static char site_path[] = "/tmp/check_allocation-XXXXXX";

static fc_status
read_site_file(void)
{
    struct fci_ini ini = { 0 };
    const fc_status status = fci_ini_read_file(&ini, site_path, NULL);

    if (status == FC_OK)
        check_site(&ini);
    else
        EXPECT(!ini.arena.blocks);
    fci_ini_free(&ini);
    return status;
}

/* A text that is wrong in places: its messages need memory too. */
static fc_status
read_wrong_site(void)
{
    static const char text[] = "k = v\n[a]\nk = 1\nk = 2\n[A]\n[b\n=\nl = \xff"
                               "\n[b] c\nk\nl = \"\n[c]\nk = 3\n";
    fc_diagnostics *messages = fc_diagnostics_new();
    struct fci_ini ini = { 0 };
    fc_status status;

    if (!messages)
        return FC_ENOMEM;
    status = fci_ini_read_text(&ini, text, strlen(text), "site.ini", messages);
    if (status == FC_EINPUT) {
        EXPECT(fc_diagnostics_count(messages) == 9);
        EXPECT(ini.n_sections == 3);
        status = FC_OK;
    } else {
        EXPECT(status == FC_ENOMEM);
        EXPECT(!ini.arena.blocks);
    }
    fci_ini_free(&ini);
    fc_diagnostics_free(messages);
    return status;
}

/* A table stays as it was when there is no room for one name more. */
static fc_status
enter_names(void)
{
    static char text[100][8];
    struct fci_names names = { 0 };
    fc_status status = FC_OK;
    size_t i, value;
    bool known;

    for (i = 0; i < 100 && status == FC_OK; i++) {
        snprintf(text[i], sizeof text[i], "n%zu", i);
        value = i;
        status = fci_names_enter(&names, text[i], &value, &known);
        EXPECT(names.n_names == (status == FC_OK ? i + 1 : i));
    }
    for (i = 0; i < names.n_names; i++)
        EXPECT(fci_names_find(&names, text[i]) == i);
    fci_names_free(&names);
    return status;
}

static fc_status
keep_messages(void)
{
    fc_diagnostics *list = fc_diagnostics_new();
    fc_status status = FC_EINPUT;
    size_t i;

    if (!list)
        return FC_ENOMEM;
    for (i = 0; i < 60 && status == FC_EINPUT; i++)
        status = fci_fail(list, FC_EINPUT, i % 2 ? "a.ini" : "b.ini", 1,
                          "%500d", 1);
    if (status == FC_EINPUT) {
        EXPECT(fc_diagnostics_count(list) == 51);
        status = FC_OK;
    }
    fc_diagnostics_free(list);
    return status;
}

static const struct {
    const char *name;
    work *work;
    size_t least; /* failures to be seen: that many allocations at least */
} works[] = {
    { "read a site", read_site, 500 },
    { "read a site file", read_site_file, 500 },
    { "read a wrong site", read_wrong_site, 20 },
    { "enter names", enter_names, 4 },
    { "keep messages", keep_messages, 4 },
};

/* ---- Running out ------------------------------------------------------- */

static FILE *errors;
static int saved_errors;

static void
begin(void)
{
    const int fd = mkstemp(site_path);
    FILE *file = fdopen(fd, "w");

    ck_assert_ptr_nonnull(file);
    fputs(site_text(), file);
    fclose(file);
    errors = tmpfile();
    ck_assert_ptr_nonnull(errors);
    saved_errors = dup(STDERR_FILENO);
    dup2(fileno(errors), STDERR_FILENO);
}

static void
end(void)
{
    char text[200] = "";
    size_t n;

    allocation_fail_never();
    dup2(saved_errors, STDERR_FILENO);
    close(saved_errors);
    rewind(errors);
    n = fread(text, 1, sizeof text - 1, errors);
    fclose(errors);
    unlink(site_path);
    strcpy(strrchr(site_path, '-'), "-XXXXXX");
    ck_assert_msg(n == 0, "printed: %s", text);
}

/* The work with failures as they were set up.  Whether there was one. */
static bool
runs_out(int i)
{
    const size_t blocks = allocation_blocks();
    fc_status status;
    size_t left;
    bool failed;

    not_as_expected = NULL;
    status = works[i].work();
    failed = allocation_failures() > 0;
    allocation_fail_never();
    left = allocation_blocks() - blocks;
    ck_assert_msg(!not_as_expected, "%s: not %s", works[i].name,
                  not_as_expected);
    ck_assert_msg(left == 0, "%s: %zd blocks left", works[i].name,
                  (ssize_t)left);
    ck_assert_msg(status == FC_OK || (failed && status == FC_ENOMEM),
                  "%s: status %d", works[i].name, (int)status);
    return failed;
}

START_TEST(once)
{
    size_t n = 0;

    ck_assert(!runs_out(_i)); /* what is allocated but once, is now */
    do
        allocation_fail_once(++n);
    while (runs_out(_i));
    ck_assert_uint_gt(n, works[_i].least);
}
END_TEST

START_TEST(from_then_on)
{
    size_t n = 0;

    ck_assert(!runs_out(_i));
    do
        allocation_fail_from(++n);
    while (runs_out(_i));
    ck_assert_uint_gt(n, works[_i].least);
}
END_TEST

START_TEST(so_many_bytes)
{
    size_t limit = allocation_bytes(), n = 0;

    ck_assert(!runs_out(_i));
    do {
        allocation_fail_above(limit);
        limit += 97;
        n++;
    } while (runs_out(_i));
    ck_assert_uint_gt(n, 4);
}
END_TEST

/* That failures do happen, and are counted. */
START_TEST(it_fails)
{
    const size_t blocks = allocation_blocks(), bytes = allocation_bytes();
    void *volatile a, *volatile b, *volatile c, *volatile d, *volatile e;
    size_t failures[3], blocks_then, bytes_then;

    allocation_fail_once(2);
    a = malloc(10);
    b = calloc(1, 10);
    c = realloc(a, 1000);
    failures[0] = allocation_failures();
    blocks_then = allocation_blocks();
    bytes_then = allocation_bytes();
    allocation_fail_from(1);
    d = malloc(10);
    e = strdup("a");
    failures[1] = allocation_failures();
    allocation_fail_above(allocation_bytes() + 99);
    a = malloc(1);
    free(a);
    a = malloc(200);
    failures[2] = allocation_failures();
    allocation_fail_never();
    free(c);
    ck_assert_uint_eq(allocation_blocks(), blocks);
    ck_assert_uint_eq(allocation_bytes(), bytes);
    ck_assert_uint_eq(blocks_then, blocks + 1);
    ck_assert_uint_ge(bytes_then, bytes + 1000);
    ck_assert(!b && c && failures[0] == 1);
    ck_assert(!d && !e && failures[1] == 2);
    ck_assert(!a && failures[2] == 1);
}
END_TEST

/* ---- All --------------------------------------------------------------- */

#define N_WORKS ((int)(sizeof works / sizeof *works))

static Suite *
allocation_suite(void)
{
    Suite *suite = suite_create("allocation");
    TCase *t = tcase_create("running out");

    tcase_add_checked_fixture(t, begin, end);
    tcase_set_timeout(t, 120);
    tcase_add_test(t, it_fails);
    tcase_add_loop_test(t, once, 0, N_WORKS);
    tcase_add_loop_test(t, from_then_on, 0, N_WORKS);
    tcase_add_loop_test(t, so_many_bytes, 0, N_WORKS);
    suite_add_tcase(suite, t);
    return suite;
}

int
main(void)
{
    SRunner *runner = srunner_create(allocation_suite());
    int failed;

    srunner_set_fork_status(runner, CK_NOFORK);
    srunner_run_all(runner, CK_NORMAL);
    failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
