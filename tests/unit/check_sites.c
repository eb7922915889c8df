/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_sites.c -- many sites checked at once.
 *
 * What a line must say is what fc_check() says of that site alone, asked here
 * of each of a few dozen invented buildings, some of them broken, by one
 * thread and by several.
 */
#include "flushcalc.h"
#include "generators/buildings.h"
#include "unit/sites_suite.h"
#include "unit/suite.h"

#include <limits.h>
#include <stdio.h>
#include <string.h>

#define SITES 40
#define EVERY_BROKEN 7

static char *texts[SITES], names[SITES][24];
static fc_site_file files[SITES];
static fc_checked_sites *sites;

/* The busy period in a few states: its figures are not looked at. */
static const fc_check_options few = { .most_states = 2048, .seed = 3 };

static void
make_files(void)
{
    const struct building_style style = { .units = FC_US };

    for (size_t i = 0; i < SITES; i++) {
        const struct building_plan plan = { .fewest = 4,
                                            .most = 20,
                                            .ranges = i % 2 == 0 };
        struct building b;

        building_make(&b, 900 + i, &plan);
        texts[i] = building_text(&b, &style);
        building_free(&b);
        if (i % EVERY_BROKEN == 3)
            memcpy(strstr(texts[i], "[source"), "[sauce ", 7);
        snprintf(names[i], sizeof names[i], "site-%zu.ini", (i * 17) % SITES);
        files[i] = (fc_site_file){ .path = names[i],
                                   .text = texts[i],
                                   .length = strlen(texts[i]) };
    }
}

static void
free_files(void)
{
    for (size_t i = 0; i < SITES; i++)
        free(texts[i]);
    building_tables_end();
}

static void
check_all(unsigned threads)
{
    fc_sites_options options = { .check = few };

    options.check.threads = threads;
    ck_assert_int_eq(fc_check_sites(files, SITES, &options, &sites), FC_OK);
    ck_assert_uint_eq(sites->n_lines, SITES);
}

static void
same_range(fc_range a, fc_range b)
{
    ck_assert_int_eq(a.given, b.given);
    if (!a.given)
        return;
    ck_assert_double_eq(a.nominal, b.nominal);
    ck_assert_double_eq(a.low, b.low);
    ck_assert_double_eq(a.high, b.high);
}

static void
same_at_once(const fc_site_state *line, const fc_check_result *alone,
             fc_state state)
{
    const fc_at_once *n = alone->states[state].at_once;

    ck_assert_int_eq(line->flushes, n != NULL);
    if (n) {
        ck_assert_int_eq(line->at_once, n->most);
        ck_assert_int_eq(line->at_once_worst, n->low);
    }
}

static void
same_state(const fc_site_state *line, const fc_check_result *alone,
           fc_state state)
{
    const fc_checked_state *s = &alone->states[state];

    ck_assert_int_eq(line->works, s->works);
    ck_assert_uint_eq(line->working, s->working);
    ck_assert_uint_eq(line->failing, s->failing);
    ck_assert_uint_eq(line->unclear, s->unclear);
    same_at_once(line, alone, state);
    if (s->governing == SIZE_MAX) {
        ck_assert_ptr_null(line->governing);
        return;
    }
    ck_assert_str_eq(line->governing, alone->fixtures[s->governing].name);
    same_range(line->margin,
               alone->fixtures[s->governing].states[state].margin);
}

static size_t
warnings_of(const fc_check_result *alone, fc_state state)
{
    size_t n = 0;

    for (size_t i = 0; i < alone->n_findings; i++) {
        const fc_finding *f = &alone->findings[i];

        n += f->severity == FC_WARN
             && (f->states == 0 || (f->states & FC_IN(state)));
    }
    return n;
}

static void
same_as_alone(const fc_site_line *line)
{
    const fc_site_file *file = &files[line->place];
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_check_result *alone = NULL;
    fc_site *site = NULL;
    fc_status status = fc_site_read_text(file->text, file->length, file->path,
                                         &site, messages);

    if (status == FC_OK)
        status = fc_check_with(site, &few, &alone, messages);
    ck_assert_str_eq(line->path, file->path);
    ck_assert_int_eq(line->calculated, status == FC_OK);
    if (status == FC_OK) {
        const fc_state judged = alone->converted ? FC_RETROFIT : FC_EXISTING;

        ck_assert_int_eq(line->works, alone->works);
        ck_assert_int_eq(line->too_high, alone->too_high);
        ck_assert_int_eq(line->judged, judged);
        ck_assert_str_eq(line->digest, fc_site_digest(site));
        ck_assert_uint_eq(line->n_warnings, warnings_of(alone, judged));
        ck_assert_uint_eq(line->n_overrides, alone->n_overrides);
        for (int s = 0; s <= (int)judged; s++)
            same_state(&line->states[s], alone, (fc_state)s);
    } else {
        ck_assert_uint_eq(line->n_errors, fc_diagnostics_count(messages));
        ck_assert_str_eq(
            fc_diagnostics_at(sites->messages[line->place], 0).text,
            fc_diagnostics_at(messages, 0).text);
    }
    fc_check_result_free(alone);
    fc_site_free(site);
    fc_diagnostics_free(messages);
}

START_TEST(lines_say_what_each_says_alone)
{
    size_t broken = 0;

    make_files();
    check_all((unsigned)_i);
    for (size_t i = 0; i < SITES; i++) {
        same_as_alone(&sites->lines[i]);
        broken += !sites->lines[i].calculated;
    }
    ck_assert_uint_eq(broken, sites->n_broken);
    ck_assert_uint_ge(broken, SITES / EVERY_BROKEN);
    fc_checked_sites_free(sites);
    free_files();
}
END_TEST

/* ---- Their order ------------------------------------------------------- */

static int
rank_of(const fc_site_line *line)
{
    if (!line->calculated)
        return 5;
    if (line->works == FC_WILL_NOT_WORK)
        return 0;
    if (line->too_high == FC_WILL_NOT_WORK)
        return 1;
    if (line->works == FC_CANNOT_TELL)
        return 2;
    return line->too_high == FC_CANNOT_TELL ? 3 : 4;
}

START_TEST(the_worst_comes_first)
{
    fc_verdict works = FC_WORKS;
    bool seen[SITES] = { false };
    int ranks[6] = { 0 };

    make_files();
    check_all(2);
    for (size_t i = 0; i < SITES; i++) {
        const fc_site_line *line = &sites->lines[i];
        const fc_site_line *last = i > 0 ? line - 1 : line;
        const fc_range a = last->states[last->judged].margin;
        const fc_range b = line->states[line->judged].margin;

        ck_assert(!seen[line->place]);
        seen[line->place] = true;
        ranks[rank_of(line)]++;
        ck_assert_int_le(rank_of(last), rank_of(line));
        if (rank_of(last) == rank_of(line) && a.given && b.given)
            ck_assert_double_le(a.low, b.low);
        if (line->calculated && line->works == FC_WILL_NOT_WORK)
            works = FC_WILL_NOT_WORK;
    }
    ck_assert_int_eq(works, FC_WILL_NOT_WORK); /* so that there is an order */
    ck_assert_int_eq(sites->works, works);
    ck_assert_int_gt(ranks[2] + ranks[3] + ranks[4], 0);
    fc_checked_sites_free(sites);
    free_files();
}
END_TEST

/* ---- Nothing to check -------------------------------------------------- */

START_TEST(files_that_are_not_there)
{
    const fc_site_file none[] = { { .path = "no/such.ini" },
                                  { .path = "nor/this.ini" } };

    ck_assert_int_eq(fc_check_sites(none, 2, NULL, &sites), FC_OK);
    ck_assert_uint_eq(sites->n_broken, 2);
    ck_assert_str_eq(sites->lines[0].path, "no/such.ini");
    ck_assert_uint_eq(sites->lines[0].n_errors, 1);
    ck_assert_uint_eq(fc_diagnostics_count(sites->messages[1]), 1);
    fc_checked_sites_free(sites);
    ck_assert_int_eq(fc_check_sites(NULL, 0, NULL, &sites), FC_OK);
    ck_assert_uint_eq(sites->n_lines, 0);
    ck_assert_int_eq(sites->works, FC_WORKS);
    fc_checked_sites_free(sites);
    fc_checked_sites_free(NULL);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("sites");
    TCase *lines = tcase_create("lines");

    tcase_add_loop_test(lines, lines_say_what_each_says_alone, 1, 4);
    tcase_add_test(lines, the_worst_comes_first);
    tcase_add_test(lines, files_that_are_not_there);
    suite_add_tcase(suite, lines);
    suite_add_tcase(suite, sites_two_states());
    return run_suite(suite);
}
