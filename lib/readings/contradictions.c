/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/readings/contradictions.c -- what the readings of a site speak against:
 * each other, or the site as it is given.
 *
 * Readings of the valves in place are held against each other by themselves,
 * and so are those of the retrofit; what was read with nothing flushing is
 * among both.  Those that disagree decide nothing: they are not held against
 * the model.
 */
#include "peak/element.h"
#include "readings/readings.h"
#include "words/phrase.h"

#include <math.h>

struct weighing {
    struct fci_arena scratch;
    struct fci_arena *arena;
    const fc_site *site;
    struct fci_evidence *out;
    fc_contradiction *list;
    /* by fci_compared: readings that are compared no further */
    struct fci_words left_out[FCI_COMPARISONS];
    struct fci_words flows; /* that are compared with each other alone */
    bool sags;              /* a main without a flow test explains any fall */
};

/* ---- Those of one state ------------------------------------------------ */

/* Whether it belongs to the retrofit alone: valves flushed that are not in
 * place yet. */
static bool
is_of_retrofit(const struct fci_readings *r, const struct fci_gauge *g)
{
    const struct fci_flushing_set *event = &r->events[g->event];
    size_t i;

    for (i = 0; r->state == FC_RETROFIT && i < event->n; i++) {
        const struct fci_fixture *fixture =
            &r->site->fixtures[event->open[i].fixture];

        if (fixture->valve[FC_EXISTING] != fixture->valve[FC_RETROFIT])
            return true;
    }
    return false;
}

static fc_contradiction
contradiction_of(struct weighing *w, const struct fci_readings *r,
                 const struct fci_gauge *g)
{
    return (fc_contradiction){ .reading = g->name,
                               .at = fci_place_name(w->site, g->place),
                               .flushing = fci_flushing_words(
                                   w->arena, w->site, &r->events[g->event]),
                               .state = g->reading->state,
                               .dimension = g->dimension,
                               .read = g->read,
                               .within = g->within,
                               .low = NAN,
                               .high = NAN,
                               .ceiling = NAN,
                               .against_read = NAN };
}

/* ---- Against each other ------------------------------------------------ */

static void
take_pairs(struct weighing *w, const struct fci_consistency *c, bool *failed)
{
    const struct fci_readings *r = c->readings;
    size_t i;

    for (i = 0; i < c->n_pairs; i++) {
        const struct fci_disagreement *pair = &c->pairs[i];
        const struct fci_gauge *g = &r->gauges[pair->gauge];
        const struct fci_gauge *other = &r->gauges[pair->other];
        fc_contradiction told = contradiction_of(w, r, g);

        failed[pair->gauge] = failed[pair->other] = true;
        if (r->state == FC_RETROFIT && !is_of_retrofit(r, g)
            && !is_of_retrofit(r, other))
            continue; /* told with the valves in place */
        told.against = other->name;
        told.against_at = fci_place_name(w->site, other->place);
        told.against_read = other->read;
        told.apart = pair->apart;
        told.text = pair->text;
        w->list[w->out->n++] = told;
    }
}

/* ---- Against the site as it is given ----------------------------------- */

bool
fci_is_above_ceiling(const fc_contradiction *c)
{
    return c->read - c->within - FCI_SOLVED_TO > c->ceiling;
}

/* "a gauge at wc read 12.0 psi", "a flow of 8.0 gpm was read at wc" */
static const char *
shown_words(struct weighing *w, const struct fci_gauge *g, const char *at)
{
    const struct fci_shown read =
        fci_show(w->site->settings.units, g->dimension, g->read);

    return g->dimension == FC_FLOW
               ? fci_arena_printf(w->arena, "a flow of %s was read at %s",
                                  read.text, at)
               : fci_arena_printf(w->arena, "a gauge at %s read %s", at,
                                  read.text);
}

/* Whether all that was open is flush valves. */
static bool
flushes_all(const struct fci_readings *r, const struct fci_flushing_set *event)
{
    size_t i;

    for (i = 0; i < event->n; i++)
        if (!r->site->fixtures[event->open[i].fixture].valve[r->state])
            return false;
    return true;
}

/* "nothing flowing", "one flushing", "3 of wc-2 flushing", "bibb open" */
static const char *
event_words(struct weighing *w, const struct fci_readings *r,
            const struct fci_gauge *g, const char *flushing)
{
    const struct fci_flushing_set *event = &r->events[g->event];
    const char *word = flushes_all(r, event) ? "flushing" : "open";

    if (event->n == 0)
        return g->dimension == FC_FLOW ? "nothing flushing" : "nothing open";
    if (event->n == 1 && event->open[0].count == 1
        && event->open[0].fixture == g->place.fixture)
        return fci_arena_printf(w->arena, "one %s", word);
    return fci_arena_printf(w->arena, "%s %s", flushing, word);
}

/* "the file as entered gives 0.4..0.5 psi", "... at least 3.0 psi" */
static const char *
gives_words(struct fci_arena *arena, fc_unit_system units,
            const fc_contradiction *told)
{
    const double low = isnan(told->low) ? told->high : told->low;
    const double high = isnan(told->high) ? told->low : told->high;
    const fc_range gives = { true, high, low, high };

    return fci_arena_printf(
        arena, "the file as entered gives %s%s",
        isnan(told->low)    ? "at most "
        : isnan(told->high) ? "at least "
                            : "",
        fci_show_range(units, told->dimension, gives).text);
}

bool
fci_contradiction_is_of(const fc_contradiction *c, const char *reading)
{
    const char *const names[] = { c->reading, c->against, c->beside };
    size_t i;

    for (i = 0; i < sizeof names / sizeof *names; i++)
        if (names[i] && fci_same_name(names[i], reading))
            return true;
    return false;
}

const char *
fci_contradiction_words(struct fci_arena *arena, fc_unit_system units,
                        const fc_contradiction *c, const char *reading,
                        const char *of)
{
    const char *gives = gives_words(arena, units, c);
    const struct fci_shown apart = fci_show(units, c->dimension, c->apart);

    if (!gives)
        return NULL;
    if (!c->beside)
        return fci_arena_printf(arena, "%s%s, off by %s", gives, of,
                                apart.text);
    return fci_arena_printf(
        arena, "with %s the drop is %s; %s%s, off by %s",
        fci_same_name(c->reading, reading) ? c->beside : c->reading,
        fci_show(units, c->dimension, c->read).text, gives, of, apart.text);
}

static const char *
model_words(struct weighing *w, const struct fci_readings *r,
            const struct fci_gauge *g, const fc_contradiction *told)
{
    const fc_unit_system units = w->site->settings.units;
    const char *event = event_words(w, r, g, told->flushing);
    const char *shown = shown_words(w, g, told->at);
    const char *gives = gives_words(w->arena, units, told);

    if (!event || !shown || !gives || !told->flushing)
        return NULL;
    if (fci_is_above_ceiling(told))
        return fci_arena_printf(
            w->arena,
            "%s with %s, above the static ceiling of %s there: the supply as "
            "entered cannot give it; see diagnose",
            shown, event, fci_show(units, FC_PRESSURE, told->ceiling).text);
    return fci_arena_printf(w->arena, "%s with %s; %s there: see diagnose",
                            shown, event, gives);
}

/* Whether it speaks against the site by itself. */
static bool
compare(struct weighing *w, const struct fci_readings *r,
        const struct fci_gauge *g, const struct fci_reading_bounds *bounds)
{
    const bool pressure = g->dimension == FC_PRESSURE;
    const double reach = g->within + (pressure ? FCI_SOLVED_TO : 0);
    fc_contradiction told;

    if (bounds->how != FCI_COMPARED)
        fci_say(pressure ? &w->left_out[bounds->how] : &w->flows, ", ", "%s",
                g->name);
    else
        w->sags |= isinf(bounds->low);
    if (!(g->read - reach > bounds->high) && !(g->read + reach < bounds->low))
        return false;
    told = contradiction_of(w, r, g);
    told.low = isinf(bounds->low) ? NAN : bounds->low;
    told.high = bounds->high;
    told.ceiling = bounds->ceiling;
    told.apart = g->read > bounds->high ? g->read - bounds->high
                                        : bounds->low - g->read;
    told.text = model_words(w, r, g, &told);
    w->arena->failed |= !told.text;
    w->list[w->out->n++] = told;
    return true;
}

/* ---- By one gauge ------------------------------------------------------ */

/* What one gauge is off by is the same whatever it reads: what two readings of
 * it differ by is known far better than either.  Where nothing holds pressure
 * back or makes it, such a difference goes one way with the source's pressure,
 * and so lies between those with that at either end. */
struct off_by {
    const struct fci_reading_bounds *ends[2];
};

static const char *
apart_words(struct weighing *w, const struct fci_readings *r,
            const struct fci_gauge *g, const struct fci_gauge *other,
            const fc_contradiction *told)
{
    const fc_unit_system units = w->site->settings.units;
    const char *gives = gives_words(w->arena, units, told);
    const char *here = event_words(w, r, g, told->flushing);
    const char *flushing =
        fci_flushing_words(w->arena, w->site, &r->events[other->event]);
    const char *there = flushing ? event_words(w, r, other, flushing) : NULL;

    if (!told->flushing || !gives || !here || !there)
        return NULL;
    return fci_arena_printf(
        w->arena,
        "one gauge read %s at %s with %s and %s at %s with %s, a difference "
        "of %s whatever its error; %s: see diagnose",
        fci_show(units, FC_PRESSURE, g->read).text, told->at, here,
        fci_show(units, FC_PRESSURE, other->read).text,
        fci_place_name(w->site, other->place), there,
        fci_show(units, FC_PRESSURE, told->read).text, gives);
}

static double
or_none(double bound)
{
    return isinf(bound) ? NAN : bound;
}

/* What two differ by, the lower one taken from the higher one. */
static void
take_apart(struct weighing *w, const struct fci_readings *r,
           const struct off_by *off, size_t one, size_t two)
{
    const bool down = r->gauges[one].read >= r->gauges[two].read;
    const size_t high = down ? one : two, low = down ? two : one;
    const struct fci_gauge *g = &r->gauges[high], *other = &r->gauges[low];
    fc_contradiction told = contradiction_of(w, r, g);

    told.beside = other->name;
    told.read = g->read - other->read;
    told.within = fci_gauges_within(g, other);
    told.low = or_none(fmin(off->ends[0][high].low - off->ends[0][low].high,
                            off->ends[1][high].low - off->ends[1][low].high));
    told.high = or_none(fmax(off->ends[0][high].high - off->ends[0][low].low,
                             off->ends[1][high].high - off->ends[1][low].low));
    told.apart =
        told.read > told.high ? told.read - told.high : told.low - told.read;
    told.text = apart_words(w, r, g, other, &told);
    w->arena->failed |= !told.text;
    w->list[w->out->n++] = told;
}

/* What the gauge is off by at least, for the site to be as given. */
static double
at_least(const struct fci_gauge *g, const struct fci_reading_bounds *bounds)
{
    return g->read - g->misread - bounds->high;
}

static double
at_most(const struct fci_gauge *g, const struct fci_reading_bounds *bounds)
{
    return g->read + g->misread - bounds->low;
}

/* Those of one gauge, the first of which is at hand; the others are `done`
 * with it. */
static void
compare_gauge(struct weighing *w, const struct fci_readings *r,
              const struct off_by *off, size_t first, bool *done)
{
    const struct fci_gauge *gauges = r->gauges;
    size_t least = first, most = first, i;

    for (i = first; i < r->n; i++) {
        if (done[i]
            || !fci_reading_same_gauge(gauges[i].reading,
                                       gauges[first].reading))
            continue;
        done[i] = true;
        if (at_least(&gauges[i], &off->ends[0][i])
            > at_least(&gauges[least], &off->ends[0][least]))
            least = i;
        if (at_most(&gauges[i], &off->ends[0][i])
            < at_most(&gauges[most], &off->ends[0][most]))
            most = i;
    }
    if (r->state == FC_RETROFIT && !is_of_retrofit(r, &gauges[least])
        && !is_of_retrofit(r, &gauges[most]))
        return; /* told with the valves in place */
    for (i = 0; i < 2; i++)
        if (!(at_least(&gauges[least], &off->ends[i][least])
              > at_most(&gauges[most], &off->ends[i][most])
                    + 2 * FCI_SOLVED_TO))
            return;
    take_apart(w, r, off, least, most);
}

/* See struct off_by. */
static bool
passes_freely(const fc_site *site)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++)
        if (site->elements[i].parent != FCI_NONE
            && fci_parts_zones(&site->elements[i]))
            return false;
    return site->n_loops == 0 && site->n_sources == 1;
}

static fc_status
compare_gauges(struct weighing *w, const struct fci_readings *r,
               const struct fci_reading_bounds *bounds, bool *done)
{
    struct off_by off = { { bounds, bounds } };
    fc_status status = FC_OK;
    size_t i;

    for (i = 0; i < 2 && passes_freely(w->site) && status == FC_OK; i++) {
        struct fci_reading_bounds *end =
            fci_arena_array(&w->scratch, r->n, sizeof *end);

        status = end ? fci_readings_bound(r, (double)i, end) : FC_ENOMEM;
        off.ends[i] = end;
    }
    for (i = 0; i < r->n && status == FC_OK; i++)
        done[i] |= r->gauges[i].dimension == FC_FLOW;
    for (i = 0; i < r->n && status == FC_OK; i++)
        if (!done[i])
            compare_gauge(w, r, &off, i, done);
    return status;
}

/* ---- All of one state -------------------------------------------------- */

static fc_status
compare_all(struct weighing *w, const struct fci_readings *r, bool *failed)
{
    struct fci_reading_bounds *bounds =
        fci_arena_array(&w->scratch, r->n, sizeof *bounds);
    const fc_status status =
        bounds ? fci_readings_bound(r, NAN, bounds) : FC_ENOMEM;
    size_t i;

    for (i = 0; status == FC_OK && i < r->n; i++) {
        const struct fci_gauge *g = &r->gauges[i];

        if (r->state == FC_RETROFIT && !is_of_retrofit(r, g))
            continue; /* compared with the valves in place */
        if (!failed[i])
            failed[i] = compare(w, r, g, &bounds[i]);
    }
    return status == FC_OK ? compare_gauges(w, r, bounds, failed) : status;
}

/* ---- The whole --------------------------------------------------------- */

static fc_status
weigh_state(struct weighing *w, fc_state state)
{
    struct fci_readings r = { .site = w->site,
                              .state = state,
                              .any_valve = true };
    struct fci_consistency c = { .readings = &r,
                                 .found = { .units = w->site->settings.units,
                                            .arena = w->arena } };
    fc_status status = fci_readings_take(&r, &w->scratch, NULL);
    bool *failed;

    if (status != FC_OK)
        return status;
    failed = fci_arena_array(&w->scratch, r.n, sizeof *failed);
    status = failed ? fci_consistency_make(&c) : FC_ENOMEM;
    if (status == FC_OK) {
        take_pairs(w, &c, failed);
        status = compare_all(w, &r, failed);
    }
    fci_findings_free(&c.found);
    return status;
}

static void
note(struct weighing *w, const char *text)
{
    w->arena->failed |= !text;
    w->out->notes[w->out->n_notes++] = text;
}

static void
take_notes(struct weighing *w)
{
    static const char *const why[FCI_COMPARISONS] = {
        [FCI_RATE_UNKNOWN] = "the flow of what was open is not known",
        [FCI_TURNING] = "loops or several sources can turn a flow around, and "
                        "inputs are ranges",
        [FCI_UNSIZED] = "water passed a pipe whose size is to be chosen",
        [FCI_UNSETTLED] = "the calculated flows did not settle"
    };
    int how;

    for (how = FCI_COMPARED + 1; how < FCI_COMPARISONS; how++)
        if (w->left_out[how].text && w->left_out[how].n > 0)
            note(w,
                 fci_arena_printf(
                     w->arena, "compared with the static ceiling only: %s; %s",
                     w->left_out[how].text, why[how]));
    if (w->sags)
        note(w, "the main has no flow test and may drop by any amount: a "
                "flowing reading contradicts the file only if too high");
    if (w->flows.text && w->flows.n > 0)
        note(w, fci_arena_printf(w->arena,
                                 "flow readings are compared with each other "
                                 "only: %s; diagnose weighs them",
                                 w->flows.text));
}

fc_status
fci_evidence_make(struct fci_evidence *evidence, const fc_site *site,
                  struct fci_arena *arena)
{
    struct weighing w = { .arena = arena, .site = site, .out = evidence };
    const size_t n = fci_count_readings(site);
    fc_status status;
    int how;

    *evidence = (struct fci_evidence){ .n_readings = n };
    if (n == 0)
        return FC_OK;
    if (site->tank) { /* read at any pressure of it */
        *evidence = (struct fci_evidence){
            .notes = { "gauge readings are not compared: the pressure of the "
                       "tank rises and falls" },
            .n_notes = 1
        };
        return FC_OK;
    }
    for (how = 0; how < FCI_COMPARISONS; how++)
        w.left_out[how] = (struct fci_words){ &w.scratch, "", 0 };
    w.flows = (struct fci_words){ &w.scratch, "", 0 };
    /* a pressure and a flow of each, in each state: at most as many as two
     * readings or the model may speak against */
    w.list = fci_arena_array(arena, 2 * 2 * 6 * n, sizeof *w.list);
    evidence->list = w.list;
    status = w.list ? weigh_state(&w, FC_EXISTING) : FC_ENOMEM;
    if (status == FC_OK && fci_has_conversions(site))
        status = weigh_state(&w, FC_RETROFIT);
    if (status == FC_OK)
        take_notes(&w);
    if (status == FC_OK && (arena->failed || w.scratch.failed))
        status = FC_ENOMEM;
    fci_arena_free(&w.scratch);
    return status;
}

/* ---- Told -------------------------------------------------------------- */

void
fci_find_contradiction(struct fci_findings *found, const fc_contradiction *c)
{
    const double low = isnan(c->low) ? c->high : c->low;
    const double high = isnan(c->high) ? c->low : c->high;
    const fc_range gives = { !c->against, high, low, high };
    fc_finding *finding = fci_find(
        found, FC_WARN, c->reading, 0, FC_FOUND_CONTRADICTION, "{text}",
        FCI_WITH(FCI_WORD("text", c->text),
                 FCI_ONE("read", c->dimension, c->read),
                 FCI_ONE("within", c->dimension, c->within),
                 FCI_RANGE("gives", c->dimension, gives),
                 FCI_ONE("apart", c->dimension, c->apart)));

    if (finding)
        finding->against = c->against;
}

void
fci_evidence_tell(const struct fci_evidence *evidence,
                  struct fci_findings *found)
{
    size_t i;

    for (i = 0; i < evidence->n; i++)
        fci_find_contradiction(found, &evidence->list[i]);
    if (evidence->n_readings > 0 && evidence->n == 0)
        fci_find(found, FC_NOTE, "", 0, FC_FOUND_READINGS,
                 "gauge readings compared: {readings}; none contradicts "
                 "another, or the file as entered, by more than its accuracy",
                 FCI_WITH(FCI_COUNT("readings", evidence->n_readings)));
    for (i = 0; i < evidence->n_notes; i++)
        fci_find(found, FC_NOTE, "", 0, FC_FOUND_READINGS, "{note}",
                 FCI_WITH(FCI_WORD("note", evidence->notes[i])));
}

const fc_contradiction *
fci_evidence_against(const struct fci_evidence *evidence, const char *reading)
{
    size_t i;

    for (i = 0; i < evidence->n; i++) {
        const fc_contradiction *c = &evidence->list[i];

        if (!c->beside && fci_contradiction_is_of(c, reading))
            return c;
    }
    return NULL;
}
