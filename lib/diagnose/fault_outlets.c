/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/fault_outlets.c -- faults where water is drawn: stops, valves
 * of another rate, and what runs on. */
#include "diagnose/fault_kinds.h"

#include <math.h>

/* ---- Stops ------------------------------------------------------------- */

/* A stop with a curve or a fixed loss has no room for one more. */
static bool
list_stop(struct fci_listing *l, size_t fixture)
{
    const struct fci_fixture *given = &l->readings->site->fixtures[fixture];
    const fc_loss_kind stop = given->given->stop.kind;
    struct fci_fault fault = fci_fault_at(l, given->element);

    fault.fixture = fixture;
    fault.flow = given->valve[l->readings->state]->flow.nominal;
    return (stop != FC_NO_LOSS && stop != FC_SQUARE_LOSS)
           || fci_fault_add(l, &fault);
}

static bool
apply_stop(const struct fci_supposed *s)
{
    fc_loss *stop =
        &fci_variant_fixture(&s->trial->variant,
                             s->trial->fixture_here[s->fault->fixture])
             ->stop;
    const double flow = s->fault->flow;
    double before = 0;

    if (stop->kind == FC_SQUARE_LOSS)
        before = stop->pressure.nominal * flow * flow
                 / (stop->flow.nominal * stop->flow.nominal);
    *stop = (fc_loss){ .kind = FC_SQUARE_LOSS,
                       .pressure = fc_exactly(before + s->value),
                       .flow = fc_exactly(flow) };
    return true;
}

static const char *
stop_words(const struct fci_wording *w)
{
    const bool known =
        w->readings->site->fixtures[w->fault->fixture].given->stop.kind
        != FC_NO_LOSS;

    if (w->shut)
        return fci_arena_printf(
            w->arena, "the control stop of %s nearly closed", w->name);
    if (w->brief)
        return fci_arena_printf(
            w->arena, "the control stop of %s partly closed", w->name);
    return fci_arena_printf(
        w->arena,
        "the control stop of %s partly closed: about %s%s lost at its rate of "
        "%s",
        w->name,
        fci_about(w->readings->site->settings.units, FC_PRESSURE, w->value)
            .text,
        known ? " more" : "", w->flow.text);
}

static const char *
fixture_name(const struct fci_working *w)
{
    return w->readings->site->fixtures[w->fault->fixture].given->name;
}

static void
steps_of_stop(struct fci_working *w)
{
    const char *name = fixture_name(w);
    const fc_site *site = w->readings->site;

    if (w->looks_only) {
        fci_work_step(w, "see that the control stop of %s is fully open",
                      name);
        return;
    }
    if (!fci_was_seen_at(site, name, FC_SEEN_OPEN))
        fci_work_step(w, "open the control stop of %s fully and flush again",
                      name);
    fci_work_open(w, w->fault->element,
                  "if it is open: clean its seat and screen, or replace it");
}

const struct fci_fault_kind fci_stop_throttled = {
    .kind = FC_STOP_THROTTLED,
    .look = &fci_look_stop,
    .dimension = FC_PRESSURE,
    .unknown = FCI_ABOVE_0,
    .is_loss = true,
    .list_flushed = list_stop,
    .apply = apply_stop,
    .words = stop_words,
    .steps = steps_of_stop,
};

/* ---- Rates ------------------------------------------------------------- */

static const fc_valve *
valve_of(const struct fci_readings *r, size_t fixture)
{
    return r->site->fixtures[fixture].valve[r->state];
}

/* The unknown is the logarithm of how many times its rate it draws. */
static bool
add_rate(struct fci_listing *l, size_t fixture, bool shared)
{
    struct fci_fault fault =
        fci_fault_at(l, l->readings->site->fixtures[fixture].element);

    fault.fixture = fixture;
    fault.shared = shared;
    fault.least = log(fault.least);
    fault.most = log(fault.most);
    return fci_fault_add(l, &fault);
}

static bool
list_rate(struct fci_listing *l, size_t fixture)
{
    return add_rate(l, fixture, false);
}

/* Valves of one name that flushed at several fixtures are of one make; kinds
 * are few. */
static bool
list_shared_rates(struct fci_listing *l)
{
    const struct fci_readings *r = l->readings;
    const size_t end = l->faults->n;
    bool room = true;
    size_t i, k;

    for (i = 0; i < end && room; i++) {
        const struct fci_fault fault = l->faults->list[i];
        size_t n = 0, known = 0;

        if (fault.kind != l->kind)
            continue;
        for (k = i; k < l->faults->n; k++)
            if (l->faults->list[k].kind == l->kind
                && valve_of(r, l->faults->list[k].fixture)
                       == valve_of(r, fault.fixture)) {
                n++;
                known += l->faults->list[k].shared;
            }
        room = n < 2 || known > 0 || add_rate(l, fault.fixture, true);
    }
    return room;
}

/* Of one fixture alone in a copy, since fixtures share the valve of a name. */
static bool
apply_rate(const struct fci_supposed *s)
{
    struct fci_fault_trial *t = s->trial;
    const size_t fixture = t->fixture_here[s->fault->fixture];
    fc_valve *valve = fci_variant_valve(&t->variant, fixture, s->state);

    if (!s->fault->shared) {
        t->valves[s->k] = *valve;
        valve = &t->valves[s->k];
        t->variant.site.fixtures[fixture].valve[s->state] = valve;
    }
    valve->flow = fc_exactly(valve->flow.nominal * exp(s->value));
    return true;
}

static double
told_rate(const struct fci_cause *cause, size_t k,
          const struct fci_readings *r, double x)
{
    return valve_of(r, cause->fault[k]->fixture)->flow.nominal * exp(x);
}

/* Whether other fixtures have the same valve. */
static bool
has_others(const struct fci_readings *r, size_t fixture)
{
    size_t i;

    for (i = 0; i < r->site->n_fixtures; i++)
        if (i != fixture && valve_of(r, i) == valve_of(r, fixture))
            return true;
    return false;
}

static const char *
rate_words(const struct fci_wording *w)
{
    const struct fci_readings *r = w->readings;
    const size_t fixture = w->fault->fixture;
    const double rate = valve_of(r, fixture)->flow.nominal;
    const struct fci_shown shown =
        fci_show(r->site->settings.units, FC_FLOW, rate);
    const bool shared = w->fault->shared;

    const char *text =
        fci_arena_printf(w->arena,
                         shared ? "every \"%s\" valve drawing %s than its rate"
                                : "the valve of %s drawing %s than its rate",
                         w->name, w->value > rate ? "more" : "less");

    return !text || w->brief
               ? text
               : fci_arena_printf(
                   w->arena, "%s: %s (entered: %s)%s", text, w->size.text,
                   shown.text,
                   !shared && has_others(r, fixture) ? ", maybe others" : "");
}

static void
steps_of_valve(struct fci_working *w)
{
    fci_work_step(w, "time three flushes of %s, and read the kit's volume",
                  fixture_name(w));
    fci_work_open(w, FCI_NONE,
                  "clean the bypass; replace the diaphragm kit "
                  "by one of the right volume, and time it "
                  "again");
}

const struct fci_fault_kind fci_valve_rate = {
    .kind = FC_VALVE_RATE,
    .dimension = FC_FLOW,
    .unknown = FCI_EITHER_SIGN,
    .list_flushed = list_rate,
    .list_rest = list_shared_rates,
    .apply = apply_rate,
    .told = told_rate,
    .words = rate_words,
    .steps = steps_of_valve,
};

/* ---- Volumes ----------------------------------------------------------- */

static bool
has_time(const struct fci_readings *r, size_t fixture)
{
    size_t i;

    for (i = 0; i < r->n; i++)
        if (r->gauges[i].timed && r->gauges[i].place.fixture == fixture)
            return true;
    return false;
}

/* What a flush passes shows in its time alone. */
static bool
list_volume(struct fci_listing *l, size_t fixture)
{
    return !has_time(l->readings, fixture) || add_rate(l, fixture, false);
}

/* Of this fixture, or of all valves of its valve's name. */
static double
time_volume(const struct fci_fault *fault, const struct fci_readings *r,
            size_t gauge, double shows, double value)
{
    const size_t fixture = r->gauges[gauge].place.fixture;

    return r->gauges[gauge].timed
                   && (fixture == fault->fixture
                       || (fault->shared
                           && valve_of(r, fixture)
                                  == valve_of(r, fault->fixture)))
               ? shows / exp(value)
               : shows;
}

static double
told_volume(const struct fci_cause *cause, size_t k,
            const struct fci_readings *r, double x)
{
    return valve_of(r, cause->fault[k]->fixture)->full_flush.nominal * exp(x);
}

static const char *
volume_words(const struct fci_wording *w)
{
    const struct fci_readings *r = w->readings;
    const double kit = valve_of(r, w->fault->fixture)->full_flush.nominal;
    const char *what = w->value > kit ? "too much" : "too little";
    const char *likely = w->fault->shared ? "wrong kit"
                         : w->value > kit ? "wrong kit, worn seat or "
                                            "fouled bypass"
                                          : "wrong kit or worn diaphragm";

    const char *text =
        fci_arena_printf(w->arena,
                         w->fault->shared ? "every \"%s\" valve flushing %s"
                                          : "the valve of %s flushing %s",
                         w->name, what);

    return !text || w->brief
               ? text
               : fci_arena_printf(
                   w->arena, "%s: about %s (kit: %s): %s", text, w->size.text,
                   fci_show(r->site->settings.units, FC_VOLUME, kit).text,
                   likely);
}

const struct fci_fault_kind fci_valve_volume = {
    .kind = FC_VALVE_VOLUME,
    .dimension = FC_VOLUME,
    .unknown = FCI_EITHER_SIGN,
    .list_flushed = list_volume,
    .list_rest = list_shared_rates,
    .reads = time_volume,
    .told = told_volume,
    .words = volume_words,
    .steps = steps_of_valve,
};

/* ---- What runs on ------------------------------------------------------ */

static bool
list_running(struct fci_listing *l, size_t at)
{
    struct fci_fault fault = fci_fault_at(l, at);

    fault.outlets = l->faults->outlets + l->outlets[at];
    fault.n_outlets = l->outlets[at + 1] - l->outlets[at];
    return (fault.n_outlets == 0 && !l->drawn[at]) || fci_fault_add(l, &fault);
}

static bool
apply_running(const struct fci_supposed *s)
{
    struct fci_fault_trial *t = s->trial;
    struct fci_draw *draw = &t->variant.site.draws[t->first_draw + s->k];
    const size_t slot = t->slot[s->fault->element];

    draw->element = slot != FCI_NONE ? slot : s->here;
    draw->flow = fc_exactly(s->value);
    return true;
}

static const char *
running_words(const struct fci_wording *w)
{
    const char *outlets =
        fci_outlets_words(w->arena, w->readings->site, w->fault);

    return !outlets || w->brief
               ? outlets
               : fci_arena_printf(w->arena, "%s, or a leak, about %s", outlets,
                                  w->size.text);
}

/* The stops of all outlets that it may be, one at a time. */
static void
steps_of_running(struct fci_working *w)
{
    const fc_site *site = w->readings->site;
    struct fci_words stops = { w->arena, "", 0 };
    size_t i;

    fci_work_step(w, "with everything shut, watch the pressure or the meter "
                     "dial");
    for (i = 0; i < site->n_fixtures; i++)
        if (w->running[i])
            fci_say(&stops, ", ", "%s", site->fixtures[i].given->name);
    w->failed |= !stops.text;
    if (stops.n > 0 && stops.text)
        fci_work_step(
            w,
            "close the stop of each of these, one at a time; the one "
            "that moves the gauge or stops the dial won't shut off: "
            "%s",
            stops.text);
    fci_work_step(w, "look for a leak, or a draw that is not in the file");
}

const struct fci_fault_kind fci_running_outlet = {
    .kind = FC_RUNNING_OUTLET,
    .look = &fci_look_running,
    .dimension = FC_FLOW,
    .unknown = FCI_ABOVE_0,
    .parts = ~0U,
    .list_at = list_running,
    .apply = apply_running,
    .words = running_words,
    .steps = steps_of_running,
};
