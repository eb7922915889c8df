/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_bad.c -- site files that are wrong, each with its messages.
 *
 * bad/NAME.ini is read as a program in that folder would read it, and checked
 * when it can be read; bad/NAME.err holds every message, written by hand, in
 * the form `path:line: text` (`path: text` where no line is concerned).
 */
#include "flushcalc.h"
#include "unit/folder.h"
#include "unit/suite.h"

/* ---- The pairs --------------------------------------------------------- */

/* A text that grows. */
struct text {
    char *start;
    size_t length;
};

static void
add(struct text *text, const char *more)
{
    const size_t n = strlen(more);
    char *grown = realloc(text->start, text->length + n + 1);

    ck_assert_ptr_nonnull(grown);
    memcpy(grown + text->length, more, n + 1);
    text->start = grown;
    text->length += n;
}

static struct text
expected_messages(const char *name)
{
    struct text text = { NULL, 0 };
    char path[LONGEST_NAME + 8], line[4096];
    FILE *file;

    snprintf(path, sizeof path, "%s.err", name);
    file = fopen(path, "r");
    ck_assert_msg(file, "%s is missing", path);
    add(&text, "");
    while (fgets(line, sizeof line, file))
        add(&text, line);
    fclose(file);
    return text;
}

/* ---- Reading them ------------------------------------------------------ */

static struct text
given_messages(const fc_diagnostics *messages)
{
    struct text text = { NULL, 0 };
    char line[40];
    size_t i;

    add(&text, "");
    for (i = 0; i < fc_diagnostics_count(messages); i++) {
        const fc_diagnostic m = fc_diagnostics_at(messages, i);

        ck_assert_int_eq(m.severity, FC_FAIL);
        snprintf(line, sizeof line, m.line > 0 ? ":%d: " : ": ", m.line);
        add(&text, m.file ? m.file : "");
        add(&text, m.file ? line : "");
        add(&text, m.text);
        add(&text, "\n");
    }
    return text;
}

static fc_status
read_and_check(const char *path, fc_diagnostics *messages)
{
    fc_check_result *result = NULL;
    fc_site *site = NULL;
    fc_status status = fc_site_read(path, &site, messages);

    if (status == FC_OK)
        status = fc_check(site, &result, messages);
    else
        ck_assert_msg(!site, "%s: a site in spite of a failure", path);
    ck_assert_msg(status == FC_OK || !result,
                  "%s: a result in spite of a failure", path);
    fc_check_result_free(result);
    fc_site_free(site);
    return status;
}

START_TEST(messages_of_a_file)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    struct text expected, given;
    char path[LONGEST_NAME + 8];
    fc_status status;

    ck_assert_ptr_nonnull(messages);
    snprintf(path, sizeof path, "%s.ini", names[_i]);
    status = read_and_check(path, messages);
    ck_assert_msg(status == FC_EINPUT || status == FC_EIO
                      || status == FC_EUNSUPPORTED,
                  "%s: %s", path, fc_status_text(status));
    expected = expected_messages(names[_i]);
    given = given_messages(messages);
    ck_assert_msg(strcmp(given.start, expected.start) == 0,
                  "expected:\n%sgiven:\n%s", expected.start, given.start);
    free(expected.start);
    free(given.start);
    fc_diagnostics_free(messages);
}
END_TEST

/* The status does not hang on whether somebody listens. */
START_TEST(without_a_list)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    char path[LONGEST_NAME + 8];

    ck_assert_ptr_nonnull(messages);
    snprintf(path, sizeof path, "%s.ini", names[_i]);
    ck_assert_int_eq(read_and_check(path, NULL),
                     read_and_check(path, messages));
    fc_diagnostics_free(messages);
}
END_TEST

/* ---- All --------------------------------------------------------------- */

START_TEST(there_are_pairs)
{
    ck_assert_int_ge(n_names, 75);
    ck_assert_int_lt(n_names, MOST_FILES);
}
END_TEST

static Suite *
bad_suite(void)
{
    Suite *suite = suite_create("bad");
    TCase *t = tcase_create("messages");

    tcase_add_test(t, there_are_pairs);
    tcase_add_loop_test(t, messages_of_a_file, 0, n_names);
    tcase_add_loop_test(t, without_a_list, 0, n_names);
    suite_add_tcase(suite, t);
    return suite;
}

int
main(void)
{
    list_folder("bad", ".ini");
    return run_suite(bad_suite());
}
