/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/properties/check_quick.c -- a first answer: it holds the truth of
 * buildings that were drawn, equals that of the site file it writes, and fits
 * on a small screen.
 *
 * A building that was drawn is solved here, by bisection: a valve draws 25 gpm
 * sqrt(p / 35 psi) at p psi; with n flushing
 *
 *     S = p + a (n q)^x + b q^y + c
 *
 * (half of the valves are regulated: from some pressure on they pass no more),
 * S static at the valve, a the loss that all share, b that of the valve alone,
 * x and y mostly from 1.85 to 2 (Hazen-Williams; stops and meters), else from
 * 0, c a loss that is the same at any flow (a PRV, a preventer).  All gauges
 * are off: the one at the valve by up to 1 psi in all its readings, and by up
 * to 1 psi more in each; the one at the main by up to 2 psi.
 */
#include "flushcalc.h"
#include "generators/draws.h"
#include "unit/suite.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define PSI 6894.757293168361 /* Pa; 1 lbf/in2 by NIST SP 811 */
#define MOST_FIGURES 20

/* ---- Drawn -------------------------------------------------------------- */

/* The arguments of a call. */
struct figures {
    char text[MOST_FIGURES][40];
    const char *words[MOST_FIGURES];
    size_t n;
};

static void
add(struct figures *f, const char *format, double value)
{
    ck_assert_uint_lt(f->n, MOST_FIGURES);
    snprintf(f->text[f->n], sizeof f->text[0], format, value);
    f->words[f->n] = f->text[f->n];
    f->n++;
}

struct building {
    double still, shared, own, held, x, y, up, need;
    double
        rate; /* of a valve [gpm] at 35 psi: 25, unless the line is opened */
    double from;       /* psi from which a regulated valve passes no more */
    double flowing[7]; /* with so many, psi */
};

static double
left_with(const struct building *b, int n, double p)
{
    const double q = b->rate / 25 * sqrt(fmin(p, b->from) / 35);

    return b->still - b->held - p - b->shared * pow(n * q, b->x)
           - b->own * pow(q, b->y);
}

static double
solve(const struct building *b, int n)
{
    double low = 0, high = b->still;

    for (int i = 0; i < 100; i++) {
        const double middle = 0.5 * (low + high);

        if (left_with(b, n, middle) > 0)
            low = middle;
        else
            high = middle;
    }
    return low;
}

static void
build(struct building *b, unsigned long long *state)
{
    b->still = draw(state, 30, 78);
    b->x = flip(state, 0.7) ? draw(state, 1.85, 2) : draw(state, 0, 2);
    b->y = flip(state, 0.7) ? draw(state, 1.85, 2) : draw(state, 0, 2);
    b->shared = flip(state, 0.2) ? 0 : exp(draw(state, -1, 4));
    b->own = flip(state, 0.4) ? 0 : exp(draw(state, -1, 4));
    b->held = flip(state, 0.5) ? 0 : draw(state, 0, 25);
    b->up = draw(state, -10, 60);
    b->need = draw(state, 10, 45);
    b->from = flip(state, 0.5) ? 1000 : draw(state, 8, 50);
    b->rate = draw(state, 15, 40); /* as is usual of closets */
    for (int n = 1; n < 7; n++)
        b->flowing[n] = solve(b, n);
}

/* ---- The truth ---------------------------------------------------------- */

/* What a gauge reads of it; the readings of the valves are 1 to 3. */
/* What the open line gives [gpm]: where all of the static pressure is lost but
 * for up to 2 psi at its end. */
static double
open_line(const struct building *b, unsigned long long *state)
{
    const double left = draw(state, 0, 2);
    double low = 0, high = 1000;

    for (int i = 0; i < 100; i++) {
        const double q = 0.5 * (low + high);

        if (left + b->held + b->shared * pow(q / 25, b->x)
                + b->own * pow(q / 25, b->y)
            < b->still)
            low = q;
        else
            high = q;
    }
    return low;
}

static void
read_gauges(const struct building *b, unsigned long long *state,
            struct figures *f, int *most)
{
    static const char *const names[] = { "", "one=%.3f", "two=%.3f",
                                         "three=%.3f" };
    const double off = draw(state, -1, 1);
    const bool main = flip(state, 0.6);
    const double flow = open_line(b, state);
    const bool open = flow < 900 && flip(state, 0.25);

    *most = 0;
    if (main) {
        /* 62.37 lb/ft3 at 60 degF */
        add(f, "main=%.3f",
            b->still + b->up * 62.366 / 144 + draw(state, -2, 2));
        add(f, "up=%.4fft", b->up);
    }
    if (!main || flip(state, 0.5))
        add(f, "still=%.3f", b->still + off + draw(state, -1, 1));
    for (int n = 1; n <= 3 && !open; n++)
        if (flip(state, 0.5) || (n == 1 && *most == 0 && flip(state, 0.7))) {
            add(f, names[n],
                fmax(b->flowing[n] + off + draw(state, -1, 1), 0));
            *most = n;
        }
    if (open)
        add(f, "flow=%.3f", flow * draw(state, 0.92, 1.09));
    add(f, "need=%.2f", b->need);
}

static fc_verdict
truth_of(const struct building *b, int flushing)
{
    for (int n = 1; n <= flushing; n++)
        if (b->flowing[n] < b->need)
            return FC_WILL_NOT_WORK;
    return FC_WORKS;
}

static size_t n_works, n_fails, n_unsure, n_seen, n_told;

/* A place that is told is that of the loss. */
static void
check_place(const struct building *b, const fc_quick_result *r)
{
    n_seen += r->lost_at != FC_LOST_UNKNOWN;
    n_told += r->lost_at == FC_LOST_SHARED || r->lost_at == FC_LOST_OWN;
    if (r->lost_at == FC_LOST_OWN)
        ck_assert_msg(b->own + b->held > 0 || b->x < 1.85, "none its own");
    if (r->lost_at == FC_LOST_SHARED)
        ck_assert_double_gt(b->shared, 0);
}

static void
check_truth(unsigned long long seed)
{
    unsigned long long state = seed * 2654435761u + 1;
    struct figures f = { .n = 0 };
    struct building b;
    fc_quick_result *r = NULL;
    fc_verdict truth;
    int most;

    build(&b, &state);
    read_gauges(&b, &state, &f, &most);
    if (flip(&state, 0.5))
        add(&f, "valves=%.0f", fmax(most, floor(draw(&state, 1, 6.99))));
    ck_assert_int_eq(fc_quick(f.words, f.n, FC_US, &r, NULL), FC_OK);
    ck_assert_msg(r->n_contradictions == 0, "%llu: %s", seed,
                  r->n_contradictions ? r->contradictions[0].text : "");
    for (size_t i = 0; i < r->n_steps; i++) {
        const fc_quick_step *s = &r->steps[i];
        const double p = b.flowing[s->flushing] * PSI;

        if (isnan(s->read) && most == 0)
            continue; /* of an open line the verdict alone is sound */
        ck_assert_msg(p <= s->pressure.high + 10
                          && (s->at_most || p >= s->pressure.low - 10),
                      "%llu: %s %s %s %s %s: %d flushing: %g psi, not %g..%g",
                      seed, f.words[0], f.words[1], f.words[2], f.words[3],
                      f.n > 4 ? f.words[4] : "", s->flushing, p / PSI,
                      s->pressure.low / PSI, s->pressure.high / PSI);
    }
    truth = truth_of(&b, r->flushing);
    ck_assert_msg(r->works == FC_CANNOT_TELL || r->works == truth,
                  "%llu: verdict %d, truth %d: %s %s %s %s; passes %g gpm at "
                  "35 psi, no more from %g psi on; has %g psi",
                  seed, (int)r->works, (int)truth, f.words[0], f.words[1],
                  f.words[2], f.n > 3 ? f.words[3] : "", b.rate, b.from,
                  b.flowing[1]);
    n_works += r->works == FC_WORKS;
    n_fails += r->works == FC_WILL_NOT_WORK;
    n_unsure += r->works == FC_CANNOT_TELL;
    check_place(&b, r);
    fc_quick_free(r);
}

START_TEST(holds_the_truth)
{
    for (unsigned long long seed = 1; seed <= 1000; seed++)
        check_truth(seed);
    printf("# works %zu, does not %zu, cannot tell %zu; place seen %zu, told "
           "%zu\n",
           n_works, n_fails, n_unsure, n_seen, n_told);
    /* it does tell something */
    ck_assert_uint_gt(n_works, 150);
    ck_assert_uint_gt(n_fails, 150);
    ck_assert_uint_gt(n_told, 150);
}
END_TEST

/* Static at the main and an open line, and not how far the valve is up: it is
 * not below the gauge.  A regulated valve passes at its minimum what it passes
 * with more. */
START_TEST(open_line_bounds)
{
    size_t fails = 0, unsure = 0;

    for (unsigned long long seed = 1; seed <= 300; seed++) {
        unsigned long long state = seed * 69069 + 5;
        struct figures f = { .n = 0 };
        struct building b;
        fc_quick_result *r = NULL;

        build(&b, &state);
        b.up = fabs(b.up);
        b.y = fmax(b.y, 1.85);
        b.from = fmax(b.from, b.need);
        b.x = fmax(b.x, 1.85); /* else too little to be read as a flow */
        b.shared = exp(draw(&state, 2, 8));
        b.flowing[1] = solve(&b, 1);
        add(&f, "main=%.3f",
            b.still + b.up * 62.366 / 144 + draw(&state, -2, 2));
        add(&f, "flow=%.3f", open_line(&b, &state) * draw(&state, 0.92, 1.09));
        add(&f, "need=%.2f", b.need);
        ck_assert_int_eq(fc_quick(f.words, f.n, FC_US, &r, NULL), FC_OK);
        ck_assert_int_ne(r->works, FC_WORKS);
        if (r->works == FC_WILL_NOT_WORK)
            ck_assert_msg(b.flowing[1] < b.need, "%llu: %s %s %s: has %g psi",
                          seed, f.words[0], f.words[1], f.words[2],
                          b.flowing[1]);
        fails += r->works == FC_WILL_NOT_WORK;
        unsure += r->works == FC_CANNOT_TELL;
        fc_quick_free(r);
    }
    printf("# by an open line alone: does not %zu, cannot tell %zu\n", fails,
           unsure);
    ck_assert_uint_gt(fails, 100);
    ck_assert_uint_gt(unsure, 10);
}
END_TEST

/* IPC 2018, 604.8: 80 psi static at most.  A gauge, good to 2 psi, that reads
 * more than 82 psi proves that, also while valves flush; less than 78 proves
 * nothing of a static pressure that nobody read. */
START_TEST(too_high_is_proved)
{
    static const char *const others[] = { "need=25", "main=110", "two=40",
                                          "valves=5", "up=3ft" };

    for (int read = 70; read <= 100; read++)
        for (int i = 0; i < 10; i++) {
            struct figures f = { .n = 0 };
            fc_quick_result *r = NULL;

            add(&f, i % 2 ? "one=%.0f" : "still=%.0f", read);
            add(&f, others[i / 2], 0);
            ck_assert_int_eq(fc_quick(f.words, f.n, FC_US, &r, NULL), FC_OK);
            if (r->n_contradictions == 0) {
                ck_assert_msg((r->too_high == FC_WILL_NOT_WORK) == (read > 82)
                                  && (r->excess != NULL)
                                         == (read > (i % 2 ? 82 : 78)),
                              "%s %s: %d, %d", f.words[0], f.words[1],
                              (int)r->too_high, r->excess != NULL);
            }
            fc_quick_free(r);
        }
}
END_TEST

/* ---- The site file ------------------------------------------------------ */

static const char *const materials[] = { "pipe=copper L", "pipe=steel sch 40",
                                         "pipe=pex sdr 9" };
static const char *const sizes[] = { "size=3/4", "size=1", "size=1-1/4 in",
                                     "size=1..1-1/2" };
static const char *const kinds[] = { "valves=%.0f", "valves=%.0f urinals",
                                     "valves=%.0f blowout" };

/* Anything that can be said, sensible or not. */
static void
say_anything(struct figures *f, unsigned long long *state)
{
    int most = 0;

    if (flip(state, 0.7))
        add(f, "main=%.0f", draw(state, 20, 90));
    if (flip(state, 0.6))
        add(f, "up=%.1f", draw(state, -20, 70));
    if (flip(state, 0.1))
        add(f, "still=30..%.0f", draw(state, 31, 60));
    else if (flip(state, 0.6) || f->n == 0)
        add(f, "still=%.0f", draw(state, 5, 85));
    if (flip(state, 0.5))
        add(f, "one=%.0f", draw(state, 0, 60)), most = 1;
    if (flip(state, 0.3))
        add(f, "two=%.0f", draw(state, 0, 40)), most = 2;
    if (flip(state, 0.1))
        add(f, "three=%.1f", draw(state, 0, 30)), most = 3;
    if (flip(state, 0.6))
        add(f, "need=%.0f", draw(state, 5, 50));
    if (flip(state, 0.4)) {
        /* one draw after another: arguments have no order of their own */
        const char *kind = kinds[(int)draw(state, 0, 2.99)];

        add(f, kind, fmax(most, floor(draw(state, 1, 7.99))));
    }
    if (flip(state, 0.5)) {
        add(f, "length=%.0f", draw(state, 71, 200));
        add(f, sizes[(int)draw(state, 0, 3.99)], 0);
    }
    if (flip(state, 0.5))
        add(f, materials[(int)draw(state, 0, 2.99)], 0);
    if (flip(state, 0.3)) {
        const char *volume = flip(state, 0.5) ? "gal=%.1f" : "%.0foz";
        const double low = flip(state, 0.5) ? 1 : 13;
        const char *time;

        add(f, volume, draw(state, low, low < 2 ? 4 : 400));
        time = flip(state, 0.5) ? "in=%.0f" : "flush=%.0f";
        add(f, time, draw(state, 3, 12));
    }
}

static void
check_same(fc_range a, fc_range b)
{
    ck_assert_int_eq(a.given, b.given);
    ck_assert_double_eq(a.low, b.low);
    ck_assert_double_eq(a.nominal, b.nominal);
    ck_assert_double_eq(a.high, b.high);
}

static size_t n_sure, n_checked, n_equal;

/* The file is no surer than the answer, above the 1 psi that any valve
 * requires; with one valve, as it was read, both are the same to the last
 * digit. */
static void
check_within(const fc_quick_step *step, fc_range kept, const char *said)
{
    const double low = fmax(step->pressure.low, PSI);

    ck_assert_msg(kept.low <= low + 10
                      && (kept.high >= step->pressure.high - 10
                          || step->pressure.high < PSI),
                  "%s: %d flushing: the file %g..%g psi, the answer %g..%g",
                  said, step->flushing, kept.low / PSI, kept.high / PSI,
                  step->pressure.low / PSI, step->pressure.high / PSI);
    n_equal += fabs(kept.low - step->pressure.low) < 0.05 * PSI
               && fabs(kept.high - step->pressure.high) < 0.05 * PSI;
}

/* Each answer of the text that is written, to the last bit. */
static void
check_text(const fc_quick_result *r, const char *said)
{
    const fc_check_options few = { .threads = 1, .no_busy_period = true };
    fc_site *site = NULL;
    fc_check_result *checked = NULL;

    ck_assert_int_eq(
        fc_site_read_text(r->text, strlen(r->text), "kept.ini", &site, NULL),
        FC_OK);
    ck_assert_int_eq(r->valves, r->flushing);
    for (size_t i = 0; i < (size_t)r->valves; i++) {
        const fc_flushing flushing = { .fixture = r->fixture,
                                       .count = r->steps[i].flushing };
        fc_flush_result *event = NULL;
        const fc_flush_fixture *f;

        ck_assert_int_eq(
            fc_flush(site, FC_EXISTING, &flushing, 1, &event, NULL), FC_OK);
        f = &event->fixtures[0];
        if (r->n_contradictions == 0) {
            check_same(f->pressure, r->steps[i].modeled);
            if (r->ceiling.given)
                check_same(f->still, r->ceiling);
        }
        check_same(f->required, r->required);
        ck_assert_uint_le(event->n_contradictions, r->n_contradictions);
        check_within(&r->steps[i], f->pressure, said);
        ck_assert_msg(event->enough == FC_CANNOT_TELL
                          || event->enough == r->steps[i].enough
                          || fabs(f->pressure.high - f->required.low) < 1,
                      "%s: %d flushing: the file %d, the answer %d", said,
                      r->steps[i].flushing, (int)event->enough,
                      (int)r->steps[i].enough);
        n_sure += event->enough != FC_CANNOT_TELL;
        if (r->n_contradictions > 0)
            ck_assert_int_eq(r->steps[i].enough, FC_CANNOT_TELL);
        fc_flush_result_free(event);
    }
    ck_assert_int_eq(fc_check_with(site, &few, &checked, NULL), FC_OK);
    /* of a pipe alone check judges by the code's peak demand, more than one
     * valve draws */
    ck_assert_msg(checked->works == FC_CANNOT_TELL
                      || checked->works == r->works
                      || (r->steps[0].at_most && r->works != FC_WORKS
                          && checked->works == FC_WILL_NOT_WORK),
                  "%s: check %d, the answer %d", said, (int)checked->works,
                  (int)r->works);
    n_checked += checked->works != FC_CANNOT_TELL;
    fc_check_result_free(checked);
    fc_site_free(site);
}

#define LINES 20
#define COLUMNS 40

/* The pressure of the verdict stands in the row of the table that has its
 * number of valves, and one that was asked for has its row. */
static void
check_rows(const char *text, const fc_quick_result *r, const char *said)
{
    const char *verdict = strstr(text, " flushing: "), *row;
    char label[40], figure[40];

    if (r->n_contradictions > 0)
        return;
    snprintf(label, sizeof label, "\n  %d flushing", r->flushing);
    ck_assert_msg(strstr(text, label), "%s: no row of %d in\n%s", said,
                  r->flushing, text);
    if (!verdict || verdict > strchr(text, '.'))
        return;
    ck_assert_int_eq(sscanf(verdict, " flushing: %39s", figure), 1);
    while (verdict[-1] != ' ')
        verdict--;
    snprintf(label, sizeof label, "\n  %d flushing", atoi(verdict));
    row = strstr(text, label);
    ck_assert_msg(row, "%s: no row of %s in\n%s", said, label, text);
    snprintf(label, sizeof label, "%.*s", (int)strcspn(row + 1, "\n"),
             row + 1);
    ck_assert_msg(strstr(label, figure), "%s: %s is not in \"%s\" of\n%s",
                  said, figure, label, text);
}

static void
check_screen(const fc_quick_result *r, const char *said)
{
    fc_report *report = NULL;
    char *text = NULL;
    size_t lines = 0;

    ck_assert_int_eq(fc_report_quick(r, &report), FC_OK);
    ck_assert_int_eq(fc_report_write(report, FC_TEXT, NULL, &text, NULL, NULL),
                     FC_OK);
    for (const char *line = text; *line; lines++) {
        const size_t length = strcspn(line, "\n");

        ck_assert_msg(length <= COLUMNS, "%s: %s", said, text);
        line += length + (line[length] == '\n');
    }
    ck_assert_msg(lines <= LINES, "%zu lines of %s\n%s", lines, said, text);
    ck_assert_ptr_null(strstr(text, "nan"));
    ck_assert_ptr_null(strstr(text, "inf"));
    check_rows(text, r, said);
    fc_free(text);
    fc_report_free(report);
}

START_TEST(equals_its_site_file)
{
    const size_t tried = (size_t)usual(600, 4000);
    size_t n = 0;

    for (unsigned long long seed = 1; seed <= tried; seed++) {
        unsigned long long state = seed * 40503 + 7;
        struct figures f = { .n = 0 };
        fc_quick_result *r = NULL;
        char said[MOST_FIGURES * 41] = "";
        fc_diagnostics *why = fc_diagnostics_new();
        fc_status status;

        say_anything(&f, &state);
        for (size_t i = 0; i < f.n; i++) {
            strcat(said, f.words[i]);
            strcat(said, " ");
        }
        status =
            fc_quick(f.words, f.n, seed % 3 == 0 ? FC_SI : FC_US, &r, why);
        ck_assert_msg(status == FC_OK || status == FC_EINPUT, "%s", said);
        if (status == FC_OK) {
            n++;
            check_text(r, said);
            check_screen(r, said);
        } else {
            ck_assert_uint_gt(fc_diagnostics_count(why), 0);
            for (size_t i = 0; i < fc_diagnostics_count(why); i++)
                ck_assert_msg(!strchr(fc_diagnostics_at(why, i).text, '['),
                              "%s: %s", said, fc_diagnostics_at(why, i).text);
        }
        fc_quick_free(r);
        fc_diagnostics_free(why);
    }
    printf("# %zu answers and their files; flush is sure %zu times, check "
           "%zu, and %zu figures are the same to the last digit\n",
           n, n_sure, n_checked, n_equal);
    ck_assert_uint_gt(8 * n, 5 * tried);
    ck_assert_uint_gt(8 * n_sure, tried);
    ck_assert_uint_gt(20 * n_checked, tried);
    ck_assert_uint_gt(8 * n_equal, tried);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("quick");
    TCase *tcase = tcase_create("quick");

    tcase_set_timeout(tcase, 120);
    tcase_add_test(tcase, holds_the_truth);
    tcase_add_test(tcase, open_line_bounds);
    tcase_add_test(tcase, too_high_is_proved);
    tcase_add_test(tcase, equals_its_site_file);
    suite_add_tcase(suite, tcase);
    return run_suite(suite);
}
