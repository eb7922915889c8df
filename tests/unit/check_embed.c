/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_embed.c -- the example that is built by calls, and the site
 * file of the same building, come to the same figures.
 *
 * The example is run as a host's user would run it; the file is read here.
 */
#include "generators/sites.h"

#include <math.h>
#include <sys/wait.h>

#define MOST_LINES 64

static char lines[MOST_LINES][160];
static int n_lines;
static bool seen[MOST_LINES];

/* A folder that the build names, or the one at hand. */
static const char *
folder(const char *name)
{
    const char *value = getenv(name);

    return value && *value ? value : ".";
}

static void
run_example(void)
{
    char command[4096];
    FILE *out;
    int status;

    snprintf(command, sizeof command, "'%s/examples/embed'",
             folder("builddir"));
    out = popen(command, "r");
    ck_assert_ptr_nonnull(out);
    n_lines = 0;
    while (n_lines < MOST_LINES
           && fgets(lines[n_lines], sizeof lines[n_lines], out)) {
        lines[n_lines][strcspn(lines[n_lines], "\n")] = '\0';
        n_lines++;
    }
    status = pclose(out);
    ck_assert(WIFEXITED(status));
    ck_assert_int_eq(WEXITSTATUS(status), 0);
}

static const char *
word(fc_verdict verdict)
{
    return verdict == FC_WORKS           ? "WORKS"
           : verdict == FC_WILL_NOT_WORK ? "WILL NOT WORK"
                                         : "CANNOT TELL";
}

/* The line that begins with the fixture's name, once; what follows it. */
static const char *
line_of(const char *name)
{
    const size_t length = strlen(name);
    int i;

    for (i = 1; i < n_lines; i++)
        if (strncmp(lines[i], name, length) == 0 && lines[i][length] == ':') {
            ck_assert_msg(!seen[i], "%s twice", name);
            seen[i] = true;
            return lines[i] + length + 1;
        }
    ck_abort_msg("no line of %s", name);
    return NULL;
}

/* " existing WORKS +9.6 psi": moved behind it. */
static const char *
assert_state(const char *text, const char *when, const fc_fixture_state *s)
{
    char start[64], *end;
    double margin;

    snprintf(start, sizeof start, " %s %s", when, word(s->works));
    ck_assert_msg(strncmp(text, start, strlen(start)) == 0, "%s, not%s", text,
                  start);
    text += strlen(start);
    if (!s->required.given)
        return text;
    margin = strtod(text, &end);
    ck_assert_msg(end != text, "no margin: %s", text);
    ck_assert_msg(strncmp(end, " psi", 4) == 0, "no unit: %s", end);
    /* half of the last digit, and a hair */
    ck_assert_double_eq_tol(margin, s->margin.nominal / PSI, 0.0501);
    return end + 4;
}

START_TEST(same_building)
{
    char path[4096];
    fc_site *site = NULL;
    fc_check_result *r = NULL;
    fc_diagnostics *messages = fc_diagnostics_new();
    size_t i;

    snprintf(path, sizeof path, "%s/examples/clinic.ini", folder("srcdir"));
    ck_assert_msg(fc_site_read(path, &site, messages) == FC_OK, "%s",
                  all_messages(messages));
    ck_assert_int_eq(fc_check(site, &r, messages), FC_OK);
    run_example();
    ck_assert_str_eq(lines[0], word(r->works));
    ck_assert_uint_eq((size_t)n_lines, r->n_fixtures + 1);
    for (i = 0; i < r->n_fixtures; i++) {
        const fc_checked_fixture *f = &r->fixtures[i];
        const char *rest = assert_state(line_of(f->name), "existing",
                                        &f->states[FC_EXISTING]);

        ck_assert_int_eq(*rest, ',');
        rest = assert_state(rest + 1, "retrofit", &f->states[FC_RETROFIT]);
        ck_assert_str_eq(rest, "");
    }
    fc_check_result_free(r);
    fc_site_free(site);
    fc_diagnostics_free(messages);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("embed");
    TCase *t = tcase_create("clinic");

    tcase_add_test(t, same_building);
    suite_add_tcase(suite, t);
    return run_suite(suite);
}
