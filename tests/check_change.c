/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/check_change.c -- a site with changes, and a site written back.
 *
 * A changed site must be worked out as the one that reads from the file with
 * the change made by hand; an unchanged copy as the site itself, to the last
 * bit of every figure.  What is written must read as the same building again.
 */
#include "building_suite.h"
#include "change.h"
#include "site_write.h"

#include <glob.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#define COUNT(array) ((int)(sizeof(array) / sizeof *(array)))

/* ---- All that a site is worked out to --------------------------------- */

/* Figures one after the other; all words in one text. */
struct outcome {
    double *figures;
    size_t n, room;
    char *words;
    FILE *out;
};

static void
note(struct outcome *o, double x)
{
    if (o->n == o->room) {
        o->room = o->room ? 2 * o->room : 256;
        o->figures = realloc(o->figures, o->room * sizeof *o->figures);
        ck_assert_ptr_nonnull(o->figures);
    }
    o->figures[o->n++] = x;
}

static void
note_range(struct outcome *o, fc_range range)
{
    note(o, range.given);
    note(o, range.nominal);
    note(o, range.low);
    note(o, range.high);
}

static void
note_word(struct outcome *o, const char *word)
{
    fprintf(o->out, "%s\n", word ? word : "-");
}

static void
note_findings(struct outcome *o, const fc_finding *findings, size_t n)
{
    size_t i;

    for (i = 0; i < n; i++) {
        fprintf(o->out, "%d %d ", (int)findings[i].severity,
                findings[i].in_state ? (int)findings[i].state : -1);
        note_word(o, findings[i].subject);
        note_word(o, findings[i].about);
        note_word(o, findings[i].text);
    }
}

static void
note_fixture_state(struct outcome *o, const fc_fixture_state *s)
{
    const fc_range ranges[] = { s->required, s->valve_minimum, s->flowing,
                                s->margin,   s->spare,         s->alone,
                                s->shared };
    int i;
    size_t k;

    note_word(o, s->valve);
    note_word(o, s->decided_by);
    fprintf(o->out, "%d %d %d %d\n", s->valve_assumed, (int)s->governed_by,
            (int)s->pressure, (int)s->works);
    for (i = 0; i < COUNT(ranges); i++)
        note_range(o, ranges[i]);
    note(o, s->code_minimum);
    note(o, s->ladder.most);
    note(o, s->ladder.low);
    note(o, s->ladder.high);
    for (k = 0; k < s->ladder.n_pressures; k++)
        note(o, s->ladder.pressures[k]);
    note(o, s->busy.weak.estimate);
    note(o, s->busy.weak.low);
    note(o, s->busy.weak.high);
    note(o, s->busy.mean);
    note(o, s->busy.fifth);
}

static void
note_pipe(struct outcome *o, const fc_checked_pipe *p)
{
    int i;

    note_word(o, p->name);
    note_word(o, p->from);
    note_word(o, p->material);
    note_word(o, p->size);
    note(o, p->inside_diameter);
    note(o, p->length);
    note(o, p->equivalent_length);
    note(o, p->c);
    note(o, p->velocity_limit);
    for (i = 0; i < FC_STATES; i++) {
        const fc_pipe_state *s = &p->states[i];

        note(o, s->fixture_units);
        note(o, s->falling_units);
        note_range(o, s->peak_flow);
        note_range(o, s->peak_by_units);
        note_range(o, s->peak_by_probability);
        note_range(o, s->velocity);
        note_range(o, s->friction_loss);
    }
}

static void
note_state(struct outcome *o, const fc_checked_state *s)
{
    fprintf(o->out, "%d %zu %zu %zu %zu %zu\n", (int)s->works, s->working,
            s->failing, s->unclear, s->governing, s->starved);
    note_range(o, s->peak_flow);
    note_range(o, s->peak_by_units);
    note_range(o, s->peak_by_probability);
    note_range(o, s->source_pressure);
    note_range(o, s->spare_pressure);
    note(o, (double)s->states_drawn);
}

static void
note_check(struct outcome *o, const fc_check_result *r)
{
    size_t i;
    int k;

    note_word(o, r->title);
    note_word(o, r->address);
    note_word(o, r->prepared_by);
    note_word(o, r->date);
    note_word(o, r->code);
    note_word(o, r->source);
    fprintf(o->out, "%d %d %d %d\n", (int)r->peak, (int)r->units, r->converted,
            (int)r->works);
    note_range(o, r->source_static);
    for (k = 0; k < (r->converted ? FC_STATES : 1); k++)
        note_state(o, &r->states[k]);
    for (i = 0; i < r->n_fixtures; i++) {
        const fc_checked_fixture *f = &r->fixtures[i];

        note_word(o, f->name);
        note_word(o, f->on);
        note_word(o, f->kind);
        fprintf(o->out, "%d %d\n", f->count, (int)f->change);
        note(o, f->elevation);
        note_range(o, f->static_pressure);
        for (k = 0; k < (r->converted ? FC_STATES : 1); k++)
            note_fixture_state(o, &f->states[k]);
    }
    for (i = 0; i < r->n_pipes; i++)
        note_pipe(o, &r->pipes[i]);
    note_findings(o, r->findings, r->n_findings);
    for (i = 0; i < r->n_assumptions; i++)
        note_word(o, r->assumptions[i]);
}

static void
note_flush(struct outcome *o, const fc_flush_result *r)
{
    size_t i;

    note(o, r->flow);
    for (i = 0; i < r->n_fixtures; i++) {
        note_word(o, r->fixtures[i].name);
        note_range(o, r->fixtures[i].pressure);
        note_range(o, r->fixtures[i].flow);
        note_range(o, r->fixtures[i].minimum);
        note_range(o, r->fixtures[i].still);
        fprintf(o->out, "%d\n", (int)r->fixtures[i].enough);
    }
    for (i = 0; i < r->n_elements; i++) {
        note_word(o, r->elements[i].name);
        note(o, r->elements[i].elevation);
        note(o, r->elements[i].flow);
        note(o, r->elements[i].pressure);
    }
    note_findings(o, r->findings, r->n_findings);
}

/* What no check shows of a site read from these files. */
static void
note_others(struct outcome *o, const fc_site *site)
{
    size_t i, k;

    for (i = 0; i < site->n_parts; i++) {
        const fc_prices *prices = site->parts[i].data;
        const fc_reading *reading = site->parts[i].data;
        const fc_claim *claim = site->parts[i].data;
        const fc_valve *valve = site->parts[i].data;
        const fc_heater *heater = site->parts[i].data;

        if (site->parts[i].kind == FCI_VALVE) {
            note(o, valve->regulated);
        } else if (site->parts[i].kind == FCI_HEATER) {
            for (k = 0; k < heater->n_serves; k++)
                note_word(o, heater->serves[k]);
        } else if (site->parts[i].kind == FCI_PRICES) {
            note_word(o, prices->material);
            note_range(o, prices->each);
            for (k = 0; k < prices->n_prices; k++) {
                note(o, prices->prices[k].size.nominal);
                note(o, prices->prices[k].per_length);
            }
        } else if (site->parts[i].kind == FCI_READING) {
            note_word(o, reading->at);
            note_range(o, reading->pressure);
            note_range(o, reading->within);
            note_range(o, reading->flow);
            note_range(o, reading->filled_volume);
            note_range(o, reading->filled_time);
            note_range(o, reading->flush_time);
            for (k = 0; k < reading->n_flushing; k++) {
                note_word(o, reading->flushing[k].fixture);
                note(o, reading->flushing[k].count);
            }
        } else if (site->parts[i].kind == FCI_CLAIM) {
            note_word(o, claim->fixture);
            note_word(o, claim->stated_in);
            note_range(o, claim->flowing);
            note(o, claim->condition);
            note(o, claim->state);
            for (k = 0; k < claim->n_flushing; k++) {
                note_word(o, claim->flushing[k].fixture);
                note(o, claim->flushing[k].count);
            }
        }
    }
    note_range(o, site->usage.interval);
    note_range(o, site->usage.people);
    note_range(o, site->usage.long_stay_share);
}

/* One thread and few states: enough to tell two buildings apart. */
static const fc_check_options drawn = { .threads = 1, .most_states = 500 };
static const fc_check_options at_peak = { .peak_only = true };

static struct outcome
outcome_of(const fc_site *site, const fc_check_options *options)
{
    struct outcome o = { 0 };
    fc_check_result *check = NULL;
    fc_flush_result *flush = NULL;
    size_t length;

    o.out = open_memstream(&o.words, &length);
    ck_assert_ptr_nonnull(o.out);
    fprintf(o.out, "%d\n", fc_check_with(site, options, &check, NULL));
    if (check)
        note_check(&o, check);
    fc_check_result_free(check);
    fprintf(o.out, "%d\n",
            fc_flush(site, FC_EXISTING, NULL, SIZE_MAX, &flush, NULL));
    if (flush)
        note_flush(&o, flush);
    fc_flush_result_free(flush);
    note_others(&o, site);
    ck_assert_int_eq(fclose(o.out), 0);
    return o;
}

static void
outcome_end(struct outcome *o)
{
    free(o->figures);
    free(o->words);
}

/* To a share of the larger figure; 0: the same bits. */
static void
same_outcomes(struct outcome *one, struct outcome *two, double share)
{
    size_t i;

    ck_assert_uint_eq(one->n, two->n);
    for (i = 0; i < one->n; i++) {
        const double a = one->figures[i], b = two->figures[i];

        if (memcmp(&a, &b, sizeof a) != 0
            && !(fabs(a - b) <= share * fmax(fabs(a), fabs(b))))
            ck_abort_msg("figure %zu: %.17g and %.17g", i, a, b);
    }
    ck_assert_str_eq(one->words, two->words);
    outcome_end(one);
    outcome_end(two);
}

static void
same_sites(const fc_site *one, const fc_site *two,
           const fc_check_options *options, double share)
{
    struct outcome a = outcome_of(one, options);
    struct outcome b = outcome_of(two, options);

    ck_assert_uint_gt(a.n, 0);
    same_outcomes(&a, &b, share);
}

/* ---- Sites ------------------------------------------------------------ */

static const char *
all_messages(const fc_diagnostics *messages)
{
    static char text[8192];
    size_t i, used = 0;

    text[0] = '\0';
    for (i = 0; i < fc_diagnostics_count(messages); i++) {
        const fc_diagnostic d = fc_diagnostics_at(messages, i);

        if (d.file)
            used += (size_t)snprintf(text + used, sizeof text - used,
                                     "%s:%d: ", d.file, d.line);
        else
            ck_assert_int_eq(d.line, 0);
        used +=
            (size_t)snprintf(text + used, sizeof text - used, "%s\n", d.text);
        ck_assert_uint_lt(used, sizeof text);
    }
    return text;
}

static fc_site *
read_text(const char *text)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_site *site = NULL;
    const fc_status status =
        fc_site_read_text(text, strlen(text), "a.ini", &site, messages);

    ck_assert_msg(status == FC_OK, "%s%s", all_messages(messages), text);
    fc_diagnostics_free(messages);
    return site;
}

static fc_site *
changed_site(const fc_site *site, const struct fci_change *changes, size_t n)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_site *changed = NULL;
    const fc_status status =
        fci_site_changed(site, changes, n, &changed, messages);

    ck_assert_msg(status == FC_OK, "%s", all_messages(messages));
    ck_assert_uint_eq(fc_diagnostics_count(messages), 0);
    fc_diagnostics_free(messages);
    return changed;
}

static char *
written(const fc_site *site, const struct fci_change *changes, size_t n,
        const char *heading)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    char *text = NULL;
    const fc_status status =
        fci_site_write_text(site, changes, n, heading, &text, messages);

    ck_assert_msg(status == FC_OK, "%s", all_messages(messages));
    fc_diagnostics_free(messages);
    return text;
}

/* The site that the written text reads as; in its folder. */
static fc_site *
read_written(const fc_site *site, const struct fci_change *changes, size_t n)
{
    char *text = written(site, changes, n, "one\n\ntwo");
    char path[1200];
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_site *read = NULL;

    snprintf(path, sizeof path, "%s/written.ini",
             site->folder ? site->folder : ".");
    ck_assert_msg(fc_site_read_text(text, strlen(text), path, &read, messages)
                      == FC_OK,
                  "%s%s", all_messages(messages), text);
    fc_diagnostics_free(messages);
    free(text);
    return read;
}

/* ---- Copies of files -------------------------------------------------- */

static glob_t files;

/* Before any test runs, where nothing can be asserted. */
static bool
find_files(void)
{
    const char *folder = getenv("srcdir");
    char pattern[1024];

    snprintf(pattern, sizeof pattern, "%s/examples/*.ini",
             folder ? folder : ".");
    if (glob(pattern, 0, NULL, &files) != 0)
        return false;
    snprintf(pattern, sizeof pattern, "%s/tests/cases/*.ini",
             folder ? folder : ".");
    return glob(pattern, GLOB_APPEND, NULL, &files) == 0;
}

static fc_site *
read_file(int i)
{
    fc_site *site = NULL;

    ck_assert_int_eq(fc_site_read(files.gl_pathv[i], &site, NULL), FC_OK);
    return site;
}

START_TEST(copy_of_a_file)
{
    fc_site *site = read_file(_i), *copy, *twice;

    copy = changed_site(site, NULL, 0);
    same_sites(site, copy, &drawn, 0);
    fc_site_free(site); /* the copy stands by itself */
    twice = changed_site(copy, NULL, 0);
    site = read_file(_i);
    same_sites(site, twice, &drawn, 0);
    fc_site_free(copy);
    fc_site_free(twice);
    fc_site_free(site);
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
            part->kind == FCI_SOURCE ? "elevation" : "rise", "1..2 ft"
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

/* ---- Each sort of value ----------------------------------------------- */

/* %s: the line under test.  Every kind of section. */
static const char *const base_lines[] = {
    "[site]",
    "title = Invented",
    "units = us",
    "code = ipc",
    "material = copper L",
    "condition = new",
    "reserve = 1 psi",
    "[source main]",
    "kind = street main",
    "static = 78..82 psi",
    "residual = 70 psi",
    "residual flow = 400 gpm",
    "[meter m]",
    "from = main",
    "kind = displacement",
    "size = 2 in",
    "[backflow b]",
    "from = m",
    "loss = 0 gpm 6 psi, 40 gpm 7 psi, 80 gpm 9 psi",
    "[reducer r]",
    "from = b",
    "set = 75 psi",
    "fall-off = 6 psi at 60 gpm",
    "[pump p]",
    "from = r",
    "curve = 0 gpm 30 ft, 60 gpm 20 ft, 200 gpm 5 ft",
    "hold = 70..80 psi",
    "[pipe riser-1]",
    "from = p",
    "size = 2 in",
    "length = 40..60 ft",
    "fittings = 2 elbow 90, 1 tee branch",
    "[pipe riser-2]",
    "from = riser-1",
    "size = 2 in",
    "length = 12 ft",
    "rise = 12 ft",
    "c = 120",
    "[fixture wc]",
    "on = riser-2",
    "kind = water closet, flush valve",
    "count = 3",
    "existing = old",
    "retrofit = sensor",
    "stop = 1 psi",
    "rise = 2 ft",
    "[fixture lav]",
    "on = riser-1",
    "kind = lavatory",
    "use = private",
    "[valve old]",
    "minimum flowing = 20 psi",
    "flow = 25 gpm at 25 psi",
    "full flush = 1.6 gal",
    "[valve sensor]",
    "minimum flowing = 25..30 psi",
    "flow = 20 gpm at 25 psi",
    "regulated = yes",
    "full flush = 1.28 gal",
    "reduced flush = 1.0 gal",
    "[demand d]",
    "on = riser-1",
    "flow = 5 gpm",
    "[heater h]",
    "on = riser-1",
    "serves = lav",
    "[prices c]",
    "material = copper L",
    "2 in = 20",
    "each = 50",
    "[usage]",
    "interval = 2 min",
    "[reading one]",
    "at = wc",
    "pressure = 50 psi",
    "flushing = 2 of wc",
    "[reading two]",
    "at = main",
    "filled = 59 oz in 5 s",
    "[claim one]",
    "fixture = wc",
    "flowing = 30 psi",
    "while = 2 of wc",
    "[tolerance]",
    "pressure = 1 psi",
    "length = 5 %",
    "elevation = 1 ft",
    "c = 4 %",
    "flow test = 10 gpm",
};

/* `line` is what stands in the base text now; NULL: the key is added. */
static const struct {
    enum fci_kind kind;
    const char *name, *key, *value, *line;
} changes_of_base[] = {
    { FCI_SITE, NULL, "title", "Another", "title = Invented" },
    { FCI_SITE, "", "title", NULL, "title = Invented" },
    { FCI_SITE, NULL, "units", "si", "units = us" },
    { FCI_SITE, NULL, "code", "upc", "code = ipc" },
    { FCI_SITE, NULL, "code minimum", "no", NULL },
    { FCI_SITE, NULL, "material", "copper K", "material = copper L" },
    { FCI_SITE, NULL, "condition", NULL, "condition = new" },
    { FCI_SITE, NULL, "condition", "aged", "condition = new" },
    { FCI_SITE, NULL, "reserve", "2 psi", "reserve = 1 psi" },
    { FCI_SITE, NULL, "water temperature", "80 degF", NULL },
    { FCI_SOURCE, "main", "static", "90 psi", "static = 78..82 psi" },
    { FCI_SOURCE, "MAIN", "static", "5.0..5.5 bar", "static = 78..82 psi" },
    { FCI_SOURCE, "main", "Residual  Flow", "300..350 gpm",
      "residual flow = 400 gpm" },
    { FCI_METER, "m", "size", "1-1/2 in", "size = 2 in" },
    { FCI_METER, "m", "size", "DN40", "size = 2 in" },
    { FCI_METER, "m", "rise", "3 ft", NULL },
    { FCI_BACKFLOW, "b", "loss", "6..8 psi",
      "loss = 0 gpm 6 psi, 40 gpm 7 psi, 80 gpm 9 psi" },
    { FCI_BACKFLOW, "b", "loss", "6 psi at 40 gpm",
      "loss = 0 gpm 6 psi, 40 gpm 7 psi, 80 gpm 9 psi" },
    { FCI_BACKFLOW, "b", "loss", "0 gpm 1 psi, 90 gpm 9 psi",
      "loss = 0 gpm 6 psi, 40 gpm 7 psi, 80 gpm 9 psi" },
    { FCI_REDUCER, "r", "set", "60..65 psi", "set = 75 psi" },
    { FCI_REDUCER, "r", "fall-off", "2 psi at 10 gpm",
      "fall-off = 6 psi at 60 gpm" },
    { FCI_REDUCER, "r", "fall-off", NULL, "fall-off = 6 psi at 60 gpm" },
    { FCI_REDUCER, "r", "loss", "2 psi at 50 gpm", NULL },
    { FCI_PUMP, "p", "curve", "0 gpm 60 ft, 90 gpm 30 ft",
      "curve = 0 gpm 30 ft, 60 gpm 20 ft, 200 gpm 5 ft" },
    { FCI_PUMP, "p", "hold", NULL, "hold = 70..80 psi" },
    { FCI_PUMP, "p", "running", "no", NULL },
    { FCI_PIPE, "riser-1", "size", "2-1/2 in", "size = 2 in" },
    { FCI_PIPE, "riser-1", "size", "1-1/2 in..2 in", "size = 2 in" },
    { FCI_PIPE, "riser-1", "size", "choose", "size = 2 in" },
    { FCI_PIPE, "riser-1", "length", "12'-6\"", "length = 40..60 ft" },
    { FCI_PIPE, "riser-1", "fittings", NULL,
      "fittings = 2 elbow 90, 1 tee branch" },
    { FCI_PIPE, "riser-1", "fittings", "1 gate valve",
      "fittings = 2 elbow 90, 1 tee branch" },
    { FCI_PIPE, "riser-2", "c", NULL, "c = 120" },
    { FCI_PIPE, "riser-2", "c", "80..100", "c = 120" },
    { FCI_PIPE, "riser-2", "from", "r", "from = riser-1" },
    { FCI_PIPE, "riser-2", "inside diameter", "1.9 in", NULL },
    { FCI_FIXTURE, "wc", "count", "5", "count = 3" },
    { FCI_FIXTURE, "wc", "retrofit", NULL, "retrofit = sensor" },
    { FCI_FIXTURE, "wc", "existing", NULL, "existing = old" },
    { FCI_FIXTURE, "wc", "existing", "siphonic closet 1.6 gal",
      "existing = old" },
    { FCI_FIXTURE, "wc", "stop", NULL, "stop = 1 psi" },
    { FCI_FIXTURE, "lav", "use", NULL, "use = private" },
    { FCI_VALVE, "sensor", "minimum flowing", "35 psi",
      "minimum flowing = 25..30 psi" },
    { FCI_VALVE, "old", "flow", "20..30 gpm at 30 psi",
      "flow = 25 gpm at 25 psi" },
    { FCI_VALVE, "sensor", "regulated", NULL, "regulated = yes" },
    { FCI_VALVE, "sensor", "reduced share", "30 %", NULL },
    { FCI_DEMAND, "d", "flow", "5..9 gpm", "flow = 5 gpm" },
    { FCI_HEATER, "h", "serves", "lav, wc", "serves = lav" },
    { FCI_PRICES, "c", "2 in", "25.5", "2 in = 20" },
    { FCI_PRICES, "c", "DN65", "30", NULL },
    { FCI_PRICES, "c", "2 in", NULL, "2 in = 20" },
    { FCI_PRICES, "c", "each", NULL, "each = 50" },
    { FCI_USAGE, NULL, "interval", "1 min", "interval = 2 min" },
    { FCI_USAGE, NULL, "interval", NULL, "interval = 2 min" },
    { FCI_READING, "one", "flushing", "none", "flushing = 2 of wc" },
    { FCI_READING, "one", "flow", "9 gpm", NULL },
    { FCI_READING, "two", "filled", "1 gal in 30 s", "filled = 59 oz in 5 s" },
    { FCI_READING, "two", "filled", "2 L in 4.5 s", "filled = 59 oz in 5 s" },
    { FCI_READING, "two", "pressure", "40 psi", NULL },
    { FCI_CLAIM, "one", "while", "peak", "while = 2 of wc" },
    { FCI_CLAIM, "one", "while", NULL, "while = 2 of wc" },
    { FCI_CLAIM, "one", "state", "retrofit", NULL },
    { FCI_CLAIM, "one", "stated in", "a letter; page #3", NULL },
    { FCI_TOLERANCE, NULL, "length", NULL, "length = 5 %" },
    { FCI_TOLERANCE, NULL, "length", "2 ft", "length = 5 %" },
    { FCI_TOLERANCE, NULL, "pressure", "3 psi", "pressure = 1 psi" },
    { FCI_TOLERANCE, NULL, "elevation", "6 in", "elevation = 1 ft" },
    { FCI_TOLERANCE, NULL, "c", NULL, "c = 4 %" },
    { FCI_TOLERANCE, NULL, "flow test", "5 %", "flow test = 10 gpm" },
};

static bool
heads_section_of(const char *line, int i)
{
    const char *word = fci_part_kinds[changes_of_base[i].kind].word;
    const char *name = changes_of_base[i].name ? changes_of_base[i].name : "";
    char head[80];

    snprintf(head, sizeof head, "[%s%s%s]", word, *name ? " " : "", name);
    return fci_same_name(line, head);
}

/* One more line of the text; a value with a comment's sign needs quotes. */
static void
add_line(char *text, size_t size, const char *key, const char *value)
{
    const size_t used = strlen(text);
    const char *mark = value && strpbrk(value, ";#") ? "\"" : "";

    if (value)
        snprintf(text + used, size - used, "%s = %s%s%s\n", key, mark, value,
                 mark);
    else
        snprintf(text + used, size - used, "%s\n", key);
    ck_assert_uint_lt(strlen(text), size - 1);
}

/* The base text with change i made in it by hand, a new key at the end of its
 * section; -1: as it is. */
static char *
base_text(int i)
{
    static char text[8192];
    bool inside = false;
    int k, done = 0;

    text[0] = '\0';
    for (k = 0; k < COUNT(base_lines); k++) {
        const char *line = base_lines[k];

        if (*line == '[')
            inside = i >= 0 && heads_section_of(line, i);
        if (inside && changes_of_base[i].line
            && strcmp(line, changes_of_base[i].line) == 0) {
            if (changes_of_base[i].value)
                add_line(text, sizeof text, changes_of_base[i].key,
                         changes_of_base[i].value);
            done++;
        } else {
            add_line(text, sizeof text, line, NULL);
        }
        if (inside && !changes_of_base[i].line
            && (k + 1 == COUNT(base_lines) || *base_lines[k + 1] == '[')) {
            add_line(text, sizeof text, changes_of_base[i].key,
                     changes_of_base[i].value);
            done++;
        }
    }
    ck_assert_int_eq(done, i >= 0);
    return text;
}

static struct fci_change
base_change(int i)
{
    return (
        struct fci_change){ changes_of_base[i].kind, changes_of_base[i].name,
                            changes_of_base[i].key, changes_of_base[i].value };
}

/* Every part of a site added by calls, as it was given. */
static fc_site *
called_twin(const fc_site *site)
{
    fc_site *twin = fc_site_new();
    size_t i;

    ck_assert_ptr_nonnull(twin);
    for (i = 0; i < site->n_parts; i++) {
        struct fci_part part = site->parts[i];

        part.data = fci_part_copy(part.kind, site->given[i], &twin->arena);
        ck_assert_ptr_nonnull(part.data);
        part.section = NULL;
        part.path = NULL;
        part.name = fci_arena_string(&twin->arena, part.name);
        ck_assert_ptr_nonnull(part.name);
        ck_assert_int_eq(fci_site_keep(twin, &part, NULL), FC_OK);
    }
    ck_assert_int_eq(fc_site_finish(twin, NULL), FC_OK);
    return twin;
}

/* A change whose texts are gone when the changed site is used. */
static fc_site *
changed_by_passing_words(const fc_site *site, struct fci_change change)
{
    char name[64] = "", key[64], value[128] = "";
    fc_site *changed;

    if (change.name)
        change.name = strcpy(name, change.name);
    if (change.value)
        change.value = strcpy(value, change.value);
    change.key = strcpy(key, change.key);
    changed = changed_site(site, &change, 1);
    memset(name, 'x', sizeof name);
    memset(key, 'x', sizeof key);
    memset(value, 'x', sizeof value);
    return changed;
}

START_TEST(a_value)
{
    const struct fci_change change = base_change(_i);
    fc_site *base = read_text(base_text(-1));
    fc_site *untouched = read_text(base_text(-1));
    fc_site *by_hand = read_text(base_text(_i));
    fc_site *changed = changed_by_passing_words(base, change);
    fc_site *again = read_written(base, &change, 1), *copy, *back;

    same_sites(changed, by_hand, &at_peak, 0);
    same_sites(again, by_hand, &at_peak, 0);
    same_sites(base, untouched, &at_peak, 0);
    fc_site_free(base);
    copy = changed_site(changed, NULL, 0);
    same_sites(copy, by_hand, &at_peak, 0);
    back = read_written(copy, NULL, 0);
    same_sites(back, by_hand, &at_peak, 0);
    fc_site_free(back);
    fc_site_free(copy);
    fc_site_free(again);
    fc_site_free(changed);
    fc_site_free(by_hand);
    fc_site_free(untouched);
}
END_TEST

/* What is written of a call is read back to a few units in the last place of a
 * double, 1e-15 of the figure; what is worked out is off by more where it is a
 * small difference of large pressures. */
#define LAST_PLACES 1e-9

/* The same of a site made by calls. */
START_TEST(a_value_of_a_call)
{
    const struct fci_change change = base_change(_i);
    fc_site *base = read_text(base_text(-1)), *called = called_twin(base);
    fc_site *by_hand = read_text(base_text(_i));
    fc_site *changed = changed_by_passing_words(called, change);
    fc_site *again = read_written(called, &change, 1);

    same_sites(called, base, &at_peak, 0);
    same_sites(changed, by_hand, &at_peak, 0);
    same_sites(again, by_hand, &at_peak, LAST_PLACES);
    fc_site_free(again);
    fc_site_free(changed);
    fc_site_free(by_hand);
    fc_site_free(called);
    fc_site_free(base);
}
END_TEST

/* Whether a row changes anything that is compared. */
START_TEST(a_value_matters)
{
    fc_site *base = read_text(base_text(-1));
    fc_site *by_hand = read_text(base_text(_i));
    struct outcome a = outcome_of(base, &at_peak);
    struct outcome b = outcome_of(by_hand, &at_peak);
    const bool differs =
        a.n != b.n || strcmp(a.words, b.words) != 0
        || memcmp(a.figures, b.figures, a.n * sizeof *a.figures) != 0;

    ck_assert_msg(differs, "%s = %s", changes_of_base[_i].key,
                  changes_of_base[_i].value ? changes_of_base[_i].value
                                            : "(taken away)");
    outcome_end(&a);
    outcome_end(&b);
    fc_site_free(by_hand);
    fc_site_free(base);
}
END_TEST

/* ---- More than a value ------------------------------------------------ */

static const char small_text[] =
    "[site]\nmaterial = copper L\ncondition = new\n"
    "[source main]\nkind = fixed\npressure = 40 psi\n"
    "[pipe riser-0]\nfrom = main\nsize = 2 in\nlength = 20 ft\n"
    "[pipe riser-{floor}]\nfloors = 1..3\nfrom = riser-{floor-1}\n"
    "size = 2 in\nlength = 12 ft\nrise = 12 ft\n"
    "[fixture wc-{floor}]\nfloors = 1..3\non = riser-{floor}\n"
    "kind = water closet, flush valve\n";

static const struct fci_change pump_in_between[] = {
    { FCI_PUMP, "booster", "from", "riser-0" },
    { FCI_PIPE, "riser-1", "from", "booster" },
    { FCI_PUMP, "Booster", "curve",
      "0 gpm 95 ft, 60 gpm 84 ft, 120 gpm 60 ft" },
};

START_TEST(pump_added)
{
    static const char by_hand_text[] =
        "[site]\nmaterial = copper L\ncondition = new\n"
        "[source main]\nkind = fixed\npressure = 40 psi\n"
        "[pipe riser-0]\nfrom = main\nsize = 2 in\nlength = 20 ft\n"
        "[pipe riser-1]\nfrom = booster\nsize = 2 in\nlength = 12 ft\n"
        "rise = 12 ft\n"
        "[pipe riser-{floor}]\nfloors = 2, 3\nfrom = riser-{floor-1}\n"
        "size = 2 in\nlength = 12 ft\nrise = 12 ft\n"
        "[fixture wc-{floor}]\nfloors = 1..3\non = riser-{floor}\n"
        "kind = water closet, flush valve\n"
        "[pump booster]\nfrom = riser-0\n"
        "curve = 0 gpm 95 ft, 60 gpm 84 ft, 120 gpm 60 ft\n";
    static const char expected[] =
        "; Boosted.\n"
        "\n"
        "[site]\n"
        "material = copper L\n"
        "condition = new\n"
        "\n"
        "[source main]\n"
        "kind = fixed\n"
        "pressure = 40 psi\n"
        "\n"
        "[pipe riser-0]\n"
        "from = main\n"
        "size = 2 in\n"
        "length = 20 ft\n"
        "\n"
        "[pipe riser-1]\n"
        "from = booster ; was riser-0\n"
        "size = 2 in\n"
        "length = 12 ft\n"
        "rise = 12 ft\n"
        "\n"
        "[pipe riser-2]\n"
        "from = riser-1\n"
        "size = 2 in\n"
        "length = 12 ft\n"
        "rise = 12 ft\n"
        "\n"
        "[pipe riser-3]\n"
        "from = riser-2\n"
        "size = 2 in\n"
        "length = 12 ft\n"
        "rise = 12 ft\n"
        "\n"
        "[fixture wc-{floor}]\n"
        "floors = 1..3\n"
        "on = riser-{floor}\n"
        "kind = water closet, flush valve\n"
        "\n"
        "[pump booster] ; added\n"
        "from = riser-0\n"
        "curve = 0 gpm 95 ft, 60 gpm 84 ft, 120 gpm 60 ft\n"
        "\n";
    fc_site *site = read_text(small_text), *by_hand = read_text(by_hand_text);
    fc_site *changed = changed_site(site, pump_in_between, 3), *again;
    char *text = written(site, pump_in_between, 3, "Boosted.\n");

    same_sites(changed, by_hand, &at_peak, 0);
    ck_assert_str_eq(text, expected);
    again = read_text(text);
    same_sites(again, by_hand, &at_peak, 0);
    free(text);
    fc_site_free(again);
    fc_site_free(changed);
    fc_site_free(by_hand);
    fc_site_free(site);
}
END_TEST

START_TEST(comments)
{
    static const char expected[] = "[site]\n"
                                   "material = copper L\n"
                                   "title = \"A # b; c\" ; added\n"
                                   "; taken away: condition = new\n"
                                   "\n"
                                   "[source main]\n"
                                   "kind = fixed\n"
                                   "pressure = 40 psi\n"
                                   "\n"
                                   "[pipe riser-0]\n"
                                   "from = main\n"
                                   "size = 3 in ; was 2 in\n"
                                   "length = 20 ft\n"
                                   "rise = 1 ft ; added\n"
                                   "\n"
                                   "[pipe riser-{floor}]\n"
                                   "floors = 1..3\n";
    const struct fci_change changes[] = {
        { FCI_PIPE, "riser-0", "size", "3 in" },
        { FCI_PIPE, "riser-0", "rise", "1 ft" },
        { FCI_SITE, NULL, "condition", NULL },
        { FCI_SITE, NULL, "title", "A # b; c" },
        { FCI_SOURCE, "main", "pressure", "40 psi" },
    };
    fc_site *site = read_text(small_text);
    char *text = written(site, changes, 5, NULL);

    ck_assert_uint_gt(strlen(text), strlen(expected));
    text[strlen(expected)] = '\0';
    ck_assert_str_eq(text, expected);
    free(text);
    fc_site_free(site);
}
END_TEST

/* A typical floor may be added as any part may. */
START_TEST(floors_added)
{
    static const struct fci_change changes[] = {
        { FCI_FIXTURE, "lav-{floor}", "floors", "2..3" },
        { FCI_FIXTURE, "lav-{floor}", "on", "riser-{floor}" },
        { FCI_FIXTURE, "lav-{floor}", "kind", "lavatory" },
    };
    static const char added[] = "[fixture lav-2] ; added\n"
                                "on = riser-2\n"
                                "kind = lavatory\n"
                                "\n"
                                "[fixture lav-3] ; added\n"
                                "on = riser-3\n"
                                "kind = lavatory\n"
                                "\n";
    char by_hand_text[sizeof small_text + sizeof added];
    fc_site *site = read_text(small_text), *by_hand, *changed;
    char *text = written(site, changes, 3, NULL);

    snprintf(by_hand_text, sizeof by_hand_text, "%s%s", small_text, added);
    by_hand = read_text(by_hand_text);
    changed = changed_site(site, changes, 3);
    same_sites(changed, by_hand, &at_peak, 0);
    ck_assert_uint_gt(strlen(text), strlen(added));
    ck_assert_str_eq(text + strlen(text) - strlen(added), added);
    free(text);
    fc_site_free(changed);
    fc_site_free(by_hand);
    fc_site_free(site);
}
END_TEST

/* A line of a site file may be 1,000 bytes long: a comment that has no room
 * is left out, and a space too where it must be. */
#define TITLE_KEY 8 /* "title = " */
#define LONGEST_TITLE (1000 - (TITLE_KEY - 2))

START_TEST(long_lines)
{
    const size_t lengths[] = { 400, 985, 992, 994 };
    const size_t n = lengths[_i];
    char old[LONGEST_TITLE + 1], now[LONGEST_TITLE + 1];
    const struct fci_change was = { FCI_SITE, NULL, "title", old };
    const struct fci_change is = { FCI_SITE, NULL, "title", now };
    const struct fci_change gone = { FCI_SITE, NULL, "title", NULL };
    fc_site *site = read_text(small_text), *titled, *again;
    char *text;

    memset(old, 'o', n);
    memset(now, 'n', n);
    old[n] = now[n] = '\0';
    titled = changed_site(site, &was, 1);
    text = written(titled, &is, 1, NULL);
    ck_assert_int_eq(strstr(text, " ; was o") != NULL,
                     TITLE_KEY + 2 * n + strlen(" ; was ") <= 1000);
    ck_assert_int_eq(strstr(text, "title=n") != NULL, TITLE_KEY + n > 1000);
    free(text);
    again = read_written(titled, &is, 1);
    ck_assert_str_eq(fc_site_title(again), now);
    fc_site_free(again);
    text = written(titled, &gone, 1, NULL);
    ck_assert_int_eq(strstr(text, "\n; taken away: title = o") != NULL,
                     strlen("; taken away: ") + TITLE_KEY + n <= 1000);
    free(text);
    again = read_written(titled, &gone, 1);
    ck_assert_ptr_null(fc_site_title(again));
    fc_site_free(again);
    fc_site_free(titled);
    fc_site_free(site);
}
END_TEST

static const char *const bad_headings[] = {
    "a\x1b",
    "a\n\xff",
    "a\xc2\x80",
};

START_TEST(bad_heading)
{
    fc_site *site = read_text(small_text);
    fc_diagnostics *messages = fc_diagnostics_new();
    char heading[1200], *text = NULL;

    if (_i < COUNT(bad_headings)) {
        strcpy(heading, bad_headings[_i]);
    } else {
        memset(heading, 'h', 999);
        heading[999] = '\0';
    }
    ck_assert_int_eq(
        fci_site_write_text(site, NULL, 0, heading, &text, messages),
        FC_EINPUT);
    ck_assert_str_eq(all_messages(messages),
                     "the heading has a line of more than 998 bytes or one "
                     "that is no text; lines of UTF-8 are expected\n");
    ck_assert_ptr_null(text);
    fc_diagnostics_free(messages);
    heading[998] = '\0';
    if (_i == COUNT(bad_headings)) { /* just fits */
        text = written(site, NULL, 0, heading);
        ck_assert_int_eq(strncmp(text, "; hhh", 5), 0);
        free(text);
    }
    fc_site_free(site);
}
END_TEST

/* Changes one after the other are as all at once. */
START_TEST(in_steps)
{
    const struct fci_change changes[] = {
        { FCI_TOLERANCE, NULL, "length", "10 %" },
        { FCI_METER, "m", "size", "1 in" },
        { FCI_PIPE, "riser-1", "length", "30 ft" },
        { FCI_PIPE, "riser-1", "size", "choose" },
        { FCI_PIPE, "riser-2", "rise", "10 ft" },
        { FCI_CLAIM, "one", "while", "peak" },
        { FCI_BACKFLOW, "b", "loss", "3 psi at 50 gpm" },
        { FCI_FIXTURE, "wc", "rise", "3 ft" },
        /* over all of these: */
        { FCI_TOLERANCE, NULL, "length", NULL },
        { FCI_METER, "m", "size", "1-1/2 in" },
        { FCI_PIPE, "riser-1", "length", "35 ft" },
        { FCI_PIPE, "riser-1", "size", "2-1/2 in" },
        { FCI_PIPE, "riser-2", "rise", "11 ft" },
        { FCI_CLAIM, "one", "while", "3 of wc" },
        { FCI_BACKFLOW, "b", "loss", "0 gpm 6 psi, 90 gpm 8 psi" },
        { FCI_FIXTURE, "wc", "rise", NULL },
    };
    const size_t half = COUNT(changes) / 2;
    const int calls = _i;
    fc_site *read = read_text(base_text(-1));
    fc_site *base = calls ? called_twin(read) : changed_site(read, NULL, 0);
    fc_site *one = changed_site(base, changes, half), *two, *at_once;

    two = changed_site(one, changes + half, half);
    at_once = changed_site(base, changes + half, half);
    same_sites(two, at_once, &at_peak, 0);
    fc_site_free(at_once);
    fc_site_free(two);
    fc_site_free(one);
    fc_site_free(base);
    fc_site_free(read);
}
END_TEST

START_TEST(units_stay)
{
    fc_site *site = read_text(small_text), *changed, *again;

    fc_site_set_units(site, FC_SI);
    changed = changed_site(site, pump_in_between, 3);
    again = changed_site(changed, NULL, 0);
    ck_assert_int_eq(fc_site_units(changed), FC_SI);
    ck_assert_int_eq(fc_site_units(again), FC_SI);
    fc_site_free(again);
    again = read_written(site, NULL, 0); /* the file says nothing of it */
    ck_assert_int_eq(fc_site_units(again), FC_US);
    fc_site_free(again);
    fc_site_free(changed);
    fc_site_free(site);
}
END_TEST

/* A tables file beside the site file is found by the changed site too. */
START_TEST(tables_beside)
{
    const struct fci_change changes[] = {
        { FCI_SITE, NULL, "tables", "amended.ini" },
        { FCI_PIPE, "riser-0", "material", "odd tube" },
        { FCI_PIPE, "riser-0", "fittings", NULL },
    };
    char folder[] = "/tmp/check_change-XXXXXX", path[64], amended[64];
    fc_site *site = NULL, *changed, *copy, *again;
    FILE *file;

    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/site.ini", folder);
    snprintf(amended, sizeof amended, "%s/amended.ini", folder);
    file = fopen(amended, "w");
    ck_assert_ptr_nonnull(file);
    fputs("[pipe odd tube]\nsource = invented\nfittings = soldered copper\nc "
          "new = 140\n"
          "c aged = 130\nroughness = 0.0015 mm\nvelocity limit = 8 ft/s\n"
          "2 in = 2.125 in x 0.1 in\n",
          file);
    ck_assert_int_eq(fclose(file), 0);
    file = fopen(path, "w");
    ck_assert_ptr_nonnull(file);
    fputs(small_text, file);
    ck_assert_int_eq(fclose(file), 0);
    ck_assert_int_eq(fc_site_read(path, &site, NULL), FC_OK);
    changed = changed_site(site, changes, 3);
    fc_site_free(site);
    copy = changed_site(changed, NULL, 0);
    again = read_written(changed, NULL, 0);
    ck_assert_str_eq(copy->elements[1].pipe->material->head.name, "odd tube");
    same_sites(changed, copy, &at_peak, 0);
    same_sites(changed, again, &at_peak, 0);
    fc_site_free(again);
    fc_site_free(copy);
    fc_site_free(changed);
    unlink(path);
    unlink(amended);
    rmdir(folder);
}
END_TEST

/* ---- Refused ---------------------------------------------------------- */

#define LONG_TEXT                                                             \
    "0123456789012345678901234567890123456789012345678901234567890123456789"  \
    "0123456789012345678901234567890123456789012345678901234567890123456789"

#define PIPE_KEYS                                                             \
    "from, to, material, size, length, rise, fittings, condition, c, inside " \
    "diameter, velocity limit\n"

static const struct {
    struct fci_change changes[3];
    size_t n;
    const char *messages;
    const char
        *of_calls; /* where the site was made by calls; NULL: the same */
} refused[] = {
    { { { FCI_PIPE, "riser-0", "lenght", "2 in" } },
      1,
      "[pipe riser-0] has no key \"lenght\"; the nearest known is "
      "\"length\"\n",
      NULL },
    { { { FCI_PIPE, "riser-0", "lenght", NULL } },
      1,
      "[pipe riser-0] has no key \"lenght\"; the nearest known is "
      "\"length\"\n",
      NULL },
    { { { FCI_PIPE, "riser-0", "size", "2" } },
      1,
      "[pipe riser-0] size \"2\" has no unit; a nominal size is needed, such "
      "as 1-1/4 in or DN32\n",
      NULL },
    { { { FCI_PIPE, "riser-0", "size", "7 in" } },
      1,
      "[pipe riser-0] size 7 in is not a size of copper L; one of 3/8 in, "
      "1/2 in, 5/8 in, 3/4 in, 1 in, 1-1/4 in, 1-1/2 in, 2 in, 2-1/2 in, "
      "3 in, 3-1/2 in, 4 in, 5 in, 6 in is expected\n",
      NULL },
    { { { FCI_PIPE, "riser-0", "length", "-4 ft" } },
      1,
      "[pipe riser-0] length \"-4 ft\" is negative; a length of 0 or more is "
      "expected\n",
      "[pipe riser-0] length \"-1.22 m\" is negative; a length of 0 or more "
      "is "
      "expected\n" },
    { { { FCI_PIPE, "riser-0", "length", NULL } },
      1,
      "[pipe riser-0] lacks \"length\"; a length is needed\n",
      "[pipe riser-0] length is not given; a length is needed\n" },
    { { { FCI_PIPE, "riser-2", "from", "riser-7" } },
      1,
      "[pipe riser-2] from \"riser-7\" is not in this file; a pipe or other "
      "element is expected, and the nearest known name is \"riser-0\"\n",
      NULL },
    { { { FCI_PIPE, "riser-9", "size", "2 in" } },
      1,
      "[pipe riser-9] lacks \"from\"; a name is needed\n"
      "[pipe riser-9] lacks \"length\"; a length is needed\n",
      NULL },
    { { { FCI_PIPE, "wc-1", "size", "2 in" },
        { FCI_PIPE, "wc-1", "from", "main" },
        { FCI_PIPE, "wc-1", "length", "2 ft" } },
      3,
      "[pipe wc-1] has a name that [fixture wc-1] on line 17 has taken; each "
      "name is expected once\n",
      "[pipe wc-1] has a name that [fixture wc-1] has taken; each name is "
      "expected once\n" },
    { { { FCI_PIPE, "riser-0", "size", "3 in" },
        { FCI_PIPE, "RISER-0", "Size", NULL } },
      2,
      "[pipe RISER-0] Size is changed twice; each key is expected once\n",
      NULL },
    { { { FCI_PIPE, "riser-0", "size", " \t" } },
      1,
      "[pipe riser-0] size has no value; one is expected\n",
      NULL },
    { { { FCI_SITE, NULL, "title", "two\nlines" } },
      1,
      "[site] title is no line of text at byte 4; one line of UTF-8 is "
      "expected\n",
      NULL },
    { { { FCI_PUMP, NULL, "from", "main" },
        { FCI_PUMP, NULL, "curve", "0 gpm 9 ft, 9 gpm 8 ft" } },
      2,
      "[pump] has no name; a name is needed, such as [pump pump-1]\n",
      NULL },
    { { { FCI_USAGE, "x", "interval", "1 min" } },
      1,
      "[usage x] has a name; [usage] is expected\n",
      NULL },
    { { { FCI_KINDS, "x", "interval", "1 min" } },
      1,
      "change 1 has no kind of a part or no key; both are needed\n",
      NULL },
    { { { FCI_PIPE, "riser-0", "material", "coper L" } },
      1,
      "[pipe riser-0] material \"coper L\" is not in the pipe tables; a "
      "material is expected, such as \"copper L\"\n",
      NULL },
    /* A part that is not changed itself has its line. */
    { { { FCI_SITE, NULL, "material", NULL },
        { FCI_PIPE, "riser-0", "material", "copper L" },
        { FCI_PIPE, "riser-1", "material", "copper L" } },
      3,
      "a.ini:11: [pipe riser-2] lacks \"material\"; a material is needed here "
      "or in [site], or both c and inside diameter\n"
      "a.ini:11: [pipe riser-3] lacks \"material\"; a material is needed here "
      "or in [site], or both c and inside diameter\n",
      "[pipe riser-2] lacks \"material\"; a material is needed here or in "
      "[site], or both c and inside diameter\n"
      "[pipe riser-3] lacks \"material\"; a material is needed here or in "
      "[site], or both c and inside diameter\n" },
    { { { FCI_PIPE, "riser-{floor}", "length", "9 ft" } },
      1,
      "[pipe riser-{floor}] lacks \"floors\"; a name with {floor} needs it, "
      "such as 2..12\n",
      NULL },
    { { { FCI_PIPE, "riser-1", "floors", "1..3" } },
      1,
      "[pipe riser-1] floors stands without {floor} in the name; a name such "
      "as riser-1-{floor} is expected\n",
      "[pipe riser-1] has no key \"floors\"; its keys are " PIPE_KEYS },
    { { { FCI_PIPE, "riser-0", LONG_TEXT, "1" } },
      1,
      "[pipe riser-0] has no key "
      "\"012345678901234567890123456789012345678901234567890123456789\"; its "
      "keys are " PIPE_KEYS,
      NULL },
};

static void
refuse(const fc_site *site, int i, const char *expected)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_site *changed = NULL;
    char *text = NULL;

    ck_assert_int_eq(fci_site_changed(site, refused[i].changes, refused[i].n,
                                      &changed, messages),
                     FC_EINPUT);
    ck_assert_ptr_null(changed);
    ck_assert_str_eq(all_messages(messages), expected);
    fc_diagnostics_free(messages);
    messages = fc_diagnostics_new();
    ck_assert_int_eq(fci_site_write_text(site, refused[i].changes,
                                         refused[i].n, NULL, &text, messages),
                     FC_EINPUT);
    ck_assert_ptr_null(text);
    ck_assert_str_eq(all_messages(messages), expected);
    fc_diagnostics_free(messages);
}

START_TEST(a_refusal)
{
    fc_site *site = read_text(small_text), *called = called_twin(site);
    fc_site *copy = changed_site(site, NULL, 0);
    fc_site *untouched = read_text(small_text);

    refuse(site, _i, refused[_i].messages);
    fc_site_free(site);
    site = copy; /* it has the lines of the file too */
    refuse(site, _i, refused[_i].messages);
    refuse(called, _i,
           refused[_i].of_calls ? refused[_i].of_calls : refused[_i].messages);
    same_sites(site, untouched, &at_peak, 0);
    same_sites(called, untouched, &at_peak, 0);
    fc_site_free(untouched);
    fc_site_free(called);
    fc_site_free(site);
}
END_TEST

START_TEST(unfinished)
{
    fc_site *site = fc_site_new(), *changed = NULL;
    char *text = NULL;

    ck_assert_int_eq(fci_site_changed(site, NULL, 0, &changed, NULL),
                     FC_ESTATE);
    ck_assert_int_eq(fci_site_write_text(site, NULL, 0, NULL, &text, NULL),
                     FC_ESTATE);
    ck_assert(!changed && !text);
    fc_site_free(site);
}
END_TEST

/* ---- Odd texts, by calls ---------------------------------------------- */

static fc_site *
titled(const char *title)
{
    const fc_settings settings = { .title = title, .material = "copper L" };
    const fc_source source = { .name = "main",
                               .kind = FC_FIXED,
                               .pressure = fc_exactly(60.1234567 * PSI) };
    const fc_pipe pipe = { .name = "p",
                           .from = "main",
                           .size = fc_exactly(2.5 * INCH),
                           .length = fc_between(1 / 3.0, 2 / 3.0) };
    const fc_fixture fixture = { .name = "f", .on = "p", .kind = "lavatory" };
    fc_site *site = fc_site_new();

    ck_assert_int_eq(fc_site_set(site, &settings, NULL), FC_OK);
    ck_assert_int_eq(fc_site_add_source(site, &source, NULL), FC_OK);
    ck_assert_int_eq(fc_site_add_pipe(site, &pipe, NULL), FC_OK);
    ck_assert_int_eq(fc_site_add_fixture(site, &fixture, NULL), FC_OK);
    ck_assert_int_eq(fc_site_finish(site, NULL), FC_OK);
    return site;
}

/* 2-1/2 in is 63.5 mm and a label in both systems; 35 mm is a metric tube. */
START_TEST(text_of_calls_in_si)
{
    const fc_settings settings = { .units = FC_SI,
                                   .material = "copper en 1057" };
    const fc_source source = { .name = "main",
                               .kind = FC_FIXED,
                               .pressure = fc_exactly(413e3) };
    const fc_pipe pipe = { .name = "p",
                           .from = "main",
                           .size = fc_exactly(0.035),
                           .length = fc_between(1.2, 3),
                           .rise = fc_exactly(-0.3048) };
    const fc_fixture fixture = { .name = "f", .on = "p", .kind = "lavatory" };
    const fc_usage usage = { .long_stay_share = fc_exactly(0.1) };
    const fc_tolerance tolerance = { .pressure = { true, true, 0.07 },
                                     .length = { true, false, 0.05 } };
    fc_site *site = fc_site_new(), *again;
    char *text;

    ck_assert_int_eq(fc_site_set(site, &settings, NULL), FC_OK);
    ck_assert_int_eq(fc_site_add_source(site, &source, NULL), FC_OK);
    ck_assert_int_eq(fc_site_add_pipe(site, &pipe, NULL), FC_OK);
    ck_assert_int_eq(fc_site_add_fixture(site, &fixture, NULL), FC_OK);
    ck_assert_int_eq(fc_site_set_usage(site, &usage, NULL), FC_OK);
    ck_assert_int_eq(fc_site_set_tolerance(site, &tolerance, NULL), FC_OK);
    ck_assert_int_eq(fc_site_finish(site, NULL), FC_OK);
    text = written(site, NULL, 0, NULL);
    ck_assert_str_eq(text, "[site]\n"
                           "units = si\n"
                           "material = copper en 1057\n"
                           "\n"
                           "[source main]\n"
                           "kind = fixed\n"
                           "pressure = 413 kPa\n"
                           "\n"
                           "[pipe p]\n"
                           "from = main\n"
                           "size = 35 mm\n"
                           "length = 1.2 m .. 3 m\n"
                           "rise = -0.3048 m\n"
                           "\n"
                           "[fixture f]\n"
                           "on = p\n"
                           "kind = lavatory\n"
                           "\n"
                           "[usage]\n"
                           "long stay share = 0.1\n"
                           "\n"
                           "[tolerance]\n"
                           "pressure = 7 %\n"
                           "length = 0.05 m\n"
                           "\n");
    free(text);
    again = read_written(site, NULL, 0);
    same_sites(again, site, &at_peak, LAST_PLACES);
    fc_site_free(again);
    fc_site_free(site);
}
END_TEST

START_TEST(text_of_calls)
{
    fc_site *site = titled("Invented");
    char *text = written(site, NULL, 0, "a\n\nb\tc\n");

    ck_assert_str_eq(text, "; a\n"
                           ";\n"
                           "; b c\n"
                           "\n"
                           "[site]\n"
                           "title = Invented\n"
                           "material = copper L\n"
                           "\n"
                           "[source main]\n"
                           "kind = fixed\n"
                           "pressure = 60.1234567 psi\n"
                           "\n"
                           "[pipe p]\n"
                           "from = main\n"
                           "size = 2-1/2 in\n"
                           "length = 0.33333333333333331 m .. "
                           "0.66666666666666663 m\n"
                           "\n"
                           "[fixture f]\n"
                           "on = p\n"
                           "kind = lavatory\n"
                           "\n");
    free(text);
    fc_site_free(site);
}
END_TEST

static const char *const odd_titles[] = {
    "a; b",
    "; b",
    "a # b",
    "#",
    "a;b#c",
    "ends in \\",
    "[a] = b",
    "say \"hello\"",
    "a = b",
    "12'-6\" long",
    "\xc3\xa9t\xc3\xa9 \xe2\x82\xac",
    "a  b",
    "x ; y ends \\",
    "%s %d %n",
};

START_TEST(odd_title)
{
    fc_site *site = titled(odd_titles[_i]), *again, *changed;
    const struct fci_change change = { FCI_SITE, NULL, "title",
                                       odd_titles[_i] };
    const struct fci_change plain = { FCI_SITE, NULL, "title", "Plain" };
    const struct fci_change gone = { FCI_SITE, NULL, "title", NULL };

    again = read_written(site, NULL, 0);
    ck_assert_str_eq(fc_site_title(again), odd_titles[_i]);
    fc_site_free(again);
    fc_site_free(site);
    site = read_text(small_text);
    changed = changed_site(site, &change, 1);
    ck_assert_str_eq(fc_site_title(changed), odd_titles[_i]);
    again = read_written(site, &change, 1);
    ck_assert_str_eq(fc_site_title(again), odd_titles[_i]);
    fc_site_free(again);
    again = read_written(changed, &plain, 1); /* it stands in a comment */
    ck_assert_str_eq(fc_site_title(again), "Plain");
    fc_site_free(again);
    again = read_written(changed, &gone, 1);
    ck_assert_ptr_null(fc_site_title(again));
    fc_site_free(again);
    fc_site_free(changed);
    fc_site_free(site);
}
END_TEST

static const struct {
    const char *title, *message;
} unwritable[] = {
    { "\"quoted\"", "[site] title \"\"quoted\"\" holds a quote, which a site "
                    "file has no way to put there\n" },
    { "5\" ; b", "[site] title \"5\" ; b\" holds a quote, which a site file "
                 "has no way to put there\n" },
    { "a\nb", "[site] title has more than one line or a control character, or "
              "is no text in UTF-8, which a site file has no way to put\n" },
    { "\xff", "[site] title has more than one line or a control character, or "
              "is no text in UTF-8, which a site file has no way to put\n" },
    { "{floor}", "[site] title holds {floor} outside a typical floor, which a "
                 "site file has no way to put\n" },
    { LONG_TEXT LONG_TEXT LONG_TEXT LONG_TEXT LONG_TEXT LONG_TEXT LONG_TEXT
          LONG_TEXT,
      "[site] title does not fit on one line, which a site file has no way to "
      "put\n" },
};

START_TEST(unwritable_title)
{
    fc_site *site = titled(unwritable[_i].title), *copy;
    fc_diagnostics *messages = fc_diagnostics_new();
    char *text = NULL;

    ck_assert_int_eq(fci_site_write_text(site, NULL, 0, NULL, &text, messages),
                     FC_EINPUT);
    ck_assert_str_eq(all_messages(messages), unwritable[_i].message);
    ck_assert_ptr_null(text);
    copy = changed_site(site, NULL, 0); /* which needs no text */
    ck_assert_str_eq(fc_site_title(copy), unwritable[_i].title);
    fc_site_free(copy);
    fc_diagnostics_free(messages);
    fc_site_free(site);
}
END_TEST

/* A nominal value off the middle: kept by changes, refused by the writer. */
START_TEST(off_the_middle)
{
    const struct fci_change change = { FCI_PIPE, "p", "size", "3 in" };
    fc_site *site = titled("Invented"), *odd = fc_site_new(), *changed;
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_pipe pipe = *(const fc_pipe *)site->given[2];
    char *text = NULL;

    pipe.length.nominal = pipe.length.low;
    ck_assert_int_eq(fc_site_set(odd, site->given[0], NULL), FC_OK);
    ck_assert_int_eq(fc_site_add_source(odd, site->given[1], NULL), FC_OK);
    ck_assert_int_eq(fc_site_add_pipe(odd, &pipe, NULL), FC_OK);
    ck_assert_int_eq(fc_site_add_fixture(odd, site->given[3], NULL), FC_OK);
    ck_assert_int_eq(fc_site_finish(odd, NULL), FC_OK);
    changed = changed_site(odd, &change, 1);
    ck_assert(changed->elements[1].pipe->length.nominal
              <= pipe.length.nominal);
    ck_assert_int_eq(fci_site_write_text(odd, NULL, 0, NULL, &text, messages),
                     FC_EINPUT);
    ck_assert_str_eq(all_messages(messages),
                     "[pipe p] length is a range whose nominal value is not "
                     "in the middle, which a site file has no way to put\n");
    fc_diagnostics_free(messages);
    fc_site_free(changed);
    fc_site_free(odd);
    fc_site_free(site);
}
END_TEST

/* ---- Generated buildings ---------------------------------------------- */

/* What may be done to a part of a kind, always possible. */
static const struct {
    enum fci_kind kind;
    const char *key, *value;
} random_changes[] = {
    { FCI_PIPE, "length", "17.5 ft" },
    { FCI_PIPE, "length", "10..33 m" },
    { FCI_PIPE, "rise", "2 ft 3 in" },
    { FCI_PIPE, "rise", NULL },
    { FCI_PIPE, "c", "95" },
    { FCI_PIPE, "c", "90..130" },
    { FCI_PIPE, "condition", "aged" },
    { FCI_PIPE, "condition", NULL },
    { FCI_PIPE, "fittings", NULL },
    { FCI_PIPE, "inside diameter", "1.5 in" },
    { FCI_PIPE, "velocity limit", "5 ft/s" },
    { FCI_METER, "rise", "1 ft" },
    { FCI_METER, "rise", NULL },
    { FCI_BACKFLOW, "loss", "3 psi at 40 gpm" },
    { FCI_BACKFLOW, "loss", "1..2 psi" },
    { FCI_DEVICE, "loss", "0 gpm 1 psi, 40 gpm 2 psi, 90 gpm 7 psi" },
    { FCI_REDUCER, "set", "44 psi" },
    { FCI_REDUCER, "set", "3..4 bar" },
    { FCI_REDUCER, "fall-off", NULL },
    { FCI_REDUCER, "fall-off", "2 psi at 30 gpm" },
    { FCI_PUMP, "hold", "70 psi" },
    { FCI_PUMP, "hold", NULL },
    { FCI_PUMP, "running", "no" },
    { FCI_PUMP, "curve", "0 gpm 50 ft, 300 gpm 0 ft" },
    { FCI_FIXTURE, "count", "4" },
    { FCI_FIXTURE, "count", NULL },
    { FCI_FIXTURE, "rise", "1 m" },
    { FCI_FIXTURE, "stop", "1 psi at 20 gpm" },
    { FCI_FIXTURE, "stop", NULL },
    { FCI_FIXTURE, "retrofit", NULL },
    { FCI_FIXTURE, "fixture units", "3.5" },
    { FCI_VALVE, "minimum flowing", "19 psi" },
    { FCI_VALVE, "flow", "22..28 gpm at 25 psi" },
    { FCI_VALVE, "closing time", "3 s" },
    { FCI_DEMAND, "flow", "3 gpm" },
    { FCI_SITE, "reserve", "2 psi" },
    { FCI_SITE, "reserve", NULL },
    { FCI_SITE, "code minimum", "no" },
    { FCI_SITE, "condition", "new" },
    { FCI_SITE, "title", "x ; y" },
    { FCI_TOLERANCE, "length", "7 %" },
    { FCI_TOLERANCE, "pressure", "1.5 psi" },
    { FCI_TOLERANCE, "elevation", "0.1 m" },
};

/* Up to `most` of them, no key of a part twice. */
static size_t
choose_changes(const fc_site *site, gsl_rng *rng, struct fci_change *changes,
               size_t most)
{
    size_t tries, n = 0, i;

    for (tries = 0; tries < 50 * most && n < most; tries++) {
        const int k = (int)gsl_rng_uniform_int(
            rng, (unsigned long)COUNT(random_changes));
        const struct fci_part *part =
            &site->parts[gsl_rng_uniform_int(rng, site->n_parts)];
        const bool all = random_changes[k].kind == FCI_TOLERANCE;

        if (!all && part->kind != random_changes[k].kind)
            continue;
        changes[n] = (struct fci_change){ random_changes[k].kind,
                                          all ? NULL : part->name,
                                          random_changes[k].key,
                                          random_changes[k].value };
        for (i = 0; i < n; i++)
            if (changes[i].kind == changes[n].kind
                && (all || strcmp(changes[i].name, part->name) == 0)
                && strcmp(changes[i].key, changes[n].key) == 0)
                break;
        n += i == n;
    }
    return n;
}

static const struct building_plan plans[] = { { 3, 60, false, false },
                                              { 3, 60, true, false } };

/* Read from a file: to the bits.  Made by calls: a figure is multiplied by its
 * unit's factor once or twice. */
START_TEST(generated)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    const bool calls = _i % 3 == 0;
    const struct building_style style = { (fc_unit_system)(_i % 2), NULL,
                                          NULL };
    struct fci_change changes[12];
    fc_site *site, *copy, *changed, *again;
    struct building b;
    size_t n;

    gsl_rng_set(rng, (unsigned long)_i + 1);
    building_make(&b, 7000 + (unsigned long)_i, &plans[_i % 2]);
    site = calls ? building_site(&b, NULL) : building_read(&b, &style);
    ck_assert_ptr_nonnull(site);
    copy = changed_site(site, NULL, 0);
    same_sites(site, copy, &at_peak, 0);
    again = read_written(site, NULL, 0);
    same_sites(site, again, &at_peak, calls ? LAST_PLACES : 0);
    fc_site_free(again);
    n = choose_changes(site, rng, changes, 12);
    ck_assert_uint_gt(n, 0);
    changed = changed_site(copy, changes, n);
    fc_site_free(copy);
    again = read_written(site, changes, n);
    same_sites(changed, again, &at_peak, calls ? LAST_PLACES : 0);
    fc_site_free(again);
    fc_site_free(changed);
    fc_site_free(site);
    building_free(&b);
    gsl_rng_free(rng);
}
END_TEST

static Suite *
change_suite(void)
{
    const int n_files = (int)files.gl_pathc;
    Suite *suite = suite_create("changes");
    TCase *t = tcase_create("files");

    tcase_add_loop_test(t, copy_of_a_file, 0, n_files);
    tcase_add_loop_test(t, file_written, 0, n_files);
    tcase_add_loop_test(t, file_changed, 0, n_files);
    suite_add_tcase(suite, t);
    t = tcase_create("values");
    tcase_add_loop_test(t, a_value, 0, COUNT(changes_of_base));
    tcase_add_loop_test(t, a_value_of_a_call, 0, COUNT(changes_of_base));
    tcase_add_loop_test(t, a_value_matters, 0, COUNT(changes_of_base));
    suite_add_tcase(suite, t);
    t = tcase_create("more than a value");
    tcase_add_test(t, pump_added);
    tcase_add_test(t, comments);
    tcase_add_test(t, floors_added);
    tcase_add_loop_test(t, long_lines, 0, 4);
    tcase_add_loop_test(t, in_steps, 0, 2);
    tcase_add_test(t, units_stay);
    tcase_add_test(t, tables_beside);
    suite_add_tcase(suite, t);
    t = tcase_create("refusals");
    tcase_add_loop_test(t, a_refusal, 0, COUNT(refused));
    tcase_add_loop_test(t, bad_heading, 0, COUNT(bad_headings) + 1);
    tcase_add_test(t, unfinished);
    suite_add_tcase(suite, t);
    t = tcase_create("texts");
    tcase_add_test(t, text_of_calls);
    tcase_add_test(t, text_of_calls_in_si);
    tcase_add_loop_test(t, odd_title, 0, COUNT(odd_titles));
    tcase_add_loop_test(t, unwritable_title, 0, COUNT(unwritable));
    tcase_add_test(t, off_the_middle);
    suite_add_tcase(suite, t);
    t = tcase_create("generated buildings");
    tcase_add_loop_test(t, generated, 0, 100);
    suite_add_tcase(suite, t);
    return suite;
}

int
main(void)
{
    int status;

    if (!find_files()) {
        fputs("no site files found under $srcdir\n", stderr);
        return EXIT_FAILURE;
    }
    building_tables();
    status = run_building_suite(change_suite());
    globfree(&files);
    return status;
}
