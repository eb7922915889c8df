/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/readings/contradictions.c -- what the readings of a site speak against:
 * each other, or the site as it is given.
 *
 * Readings of the valves in place are held against each other by themselves,
 * and so are those of the retrofit; what was read with nothing flushing is
 * among both.  Those that disagree decide nothing: they are not held against
 * the model.
 */
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
    bool sags;  /* a main without a flow test explains any fall */
    bool flows; /* flows were read */
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

/* "nothing flowing", "one flushing", "3 of wc-2 flushing" */
static const char *
event_words(struct weighing *w, const struct fci_readings *r,
            const struct fci_gauge *g, const char *flushing)
{
    const struct fci_flushing_set *event = &r->events[g->event];

    if (event->n == 0)
        return "nothing flowing";
    if (event->n == 1 && event->open[0].count == 1
        && event->open[0].fixture == g->place.fixture)
        return "one flushing";
    return fci_arena_printf(w->arena, "%s flushing", flushing);
}

static const char *
model_words(struct weighing *w, const struct fci_readings *r,
            const struct fci_gauge *g, const fc_contradiction *told)
{
    const fc_unit_system units = w->site->settings.units;
    const char *event = event_words(w, r, g, told->flushing);
    const fc_range gives = { true, told->high,
                             isnan(told->low) ? told->high : told->low,
                             told->high };

    if (!event || !told->flushing)
        return NULL;
    if (fci_is_above_ceiling(told))
        return fci_arena_printf(
            w->arena,
            "a gauge at %s read %s with %s, above the static ceiling of %s "
            "there: no supply as entered gives it; see diagnose",
            told->at, fci_show(units, FC_PRESSURE, told->read).text, event,
            fci_show(units, FC_PRESSURE, told->ceiling).text);
    return fci_arena_printf(
        w->arena,
        "a gauge at %s read %s with %s; the file as entered gives %s%s there: "
        "see diagnose",
        told->at, fci_show(units, FC_PRESSURE, told->read).text, event,
        isnan(told->low) ? "at most " : "",
        fci_show_range(units, FC_PRESSURE, gives).text);
}

static void
compare(struct weighing *w, const struct fci_readings *r,
        const struct fci_gauge *g, const struct fci_reading_bounds *bounds)
{
    const double reach = g->within + FCI_SOLVED_TO;
    fc_contradiction told;

    if (bounds->how != FCI_COMPARED)
        fci_say(&w->left_out[bounds->how], ", ", "%s", g->name);
    else
        w->sags |= isinf(bounds->low);
    if (!(g->read - reach > bounds->high) && !(g->read + reach < bounds->low))
        return;
    told = contradiction_of(w, r, g);
    told.low = isinf(bounds->low) ? NAN : bounds->low;
    told.high = bounds->high;
    told.ceiling = bounds->ceiling;
    told.apart = g->read > bounds->high ? g->read - bounds->high
                                        : bounds->low - g->read;
    told.text = model_words(w, r, g, &told);
    w->arena->failed |= !told.text;
    w->list[w->out->n++] = told;
}

static fc_status
compare_all(struct weighing *w, const struct fci_readings *r,
            const bool *failed)
{
    struct fci_reading_bounds *bounds =
        fci_arena_array(&w->scratch, r->n, sizeof *bounds);
    const fc_status status =
        bounds ? fci_readings_bound(r, bounds) : FC_ENOMEM;
    size_t i;

    for (i = 0; status == FC_OK && i < r->n; i++) {
        const struct fci_gauge *g = &r->gauges[i];

        if (r->state == FC_RETROFIT && !is_of_retrofit(r, g))
            continue; /* compared with the valves in place */
        w->flows |= g->dimension == FC_FLOW;
        if (g->dimension == FC_PRESSURE && !failed[i])
            compare(w, r, g, &bounds[i]);
    }
    return status;
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
        [FCI_RATE_UNKNOWN] = "the rate of a valve that flushed is not known",
        [FCI_TURNING] = "loops or several sources let flows turn, and inputs "
                        "are ranges",
        [FCI_UNSIZED] = "water passed a pipe whose size is to be chosen",
        [FCI_UNSETTLED] = "the flows did not settle"
    };
    int how;

    for (how = FCI_COMPARED + 1; how < FCI_COMPARISONS; how++)
        if (w->left_out[how].text && w->left_out[how].n > 0)
            note(w, fci_arena_printf(
                        w->arena,
                        "compared with the static ceiling alone: %s, as %s",
                        w->left_out[how].text, why[how]));
    if (w->sags)
        note(w, "the main has no flow test and may sag by any amount: a "
                "reading taken while water flowed contradicts the file only "
                "above what it gives");
    if (w->flows)
        note(w, "flows that were read are held against each other alone; "
                "diagnose weighs them");
}

static bool
is_converted(const fc_site *site)
{
    size_t i;

    for (i = 0; i < site->n_fixtures; i++)
        if (site->fixtures[i].converted)
            return true;
    return false;
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
    for (how = 0; how < FCI_COMPARISONS; how++)
        w.left_out[how] = (struct fci_words){ &w.scratch, "", 0 };
    /* a pressure and a flow of each, in each state: at most as many as two
     * readings or the model may speak against */
    w.list = fci_arena_array(arena, 2 * 2 * 5 * n, sizeof *w.list);
    evidence->list = w.list;
    status = w.list ? weigh_state(&w, FC_EXISTING) : FC_ENOMEM;
    if (status == FC_OK && is_converted(site))
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
    const fc_range gives = { !c->against, c->high,
                             isnan(c->low) ? c->high : c->low, c->high };
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
                 "no gauge reading of {readings} contradicts another, or the "
                 "file as entered, by more than its accuracy",
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

        if (fci_same_name(c->reading, reading)
            || (c->against && fci_same_name(c->against, reading)))
            return c;
    }
    return NULL;
}
