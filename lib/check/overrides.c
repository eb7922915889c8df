/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/overrides.c -- what the file sets otherwise than the code, or the
 * tables, have it. */
#include "check/refuse.h"
#include "check/words.h"
#include "peak/flush_time.h"
#include "units/units.h"
#include "words/phrase.h"

#include <math.h>
#include <string.h>

#define BY_CODE "the code"
#define BY_TABLES "the tables"

#define MOST_NAMES 6 /* as many as a line holds */

/* A figure that a file has from the table is converted back and forth. */
#define ALIKE (1 + 1e-6)

static const char *
shown(struct fci_check_words *w, fc_dimension dimension, fc_range value)
{
    return fci_arena_string(
        w->found.arena,
        fci_show_range(w->judge->site->settings.units, dimension, value).text);
}

static const char *
shown_one(struct fci_check_words *w, fc_dimension dimension, double si)
{
    return shown(w, dimension, fc_exactly(si));
}

static int
states_of(const struct fci_check_words *w)
{
    return w->judge->converted ? FC_STATES : 1;
}

/* ---- The whole building ----------------------------------------------- */

static void
override_maximum(struct fci_check_words *w)
{
    const fc_site *site = w->judge->site;
    const struct fci_limit *limit =
        fci_tables_limit(site->tables, "maximum static");
    const fc_range set = site->settings.maximum_static;

    if (limit && set.given && set.nominal > limit->pressure * ALIKE)
        fci_override(&w->found, 0, BY_CODE, "maximum static",
                     shown(w, FC_PRESSURE, set),
                     shown_one(w, FC_PRESSURE, limit->pressure));
}

static void
override_reading(struct fci_check_words *w)
{
    if (w->judge->site->settings.demand == FC_INTERPOLATE)
        fci_override(&w->found, 0, BY_CODE, "demand",
                     "by interpolation between two rows of the demand table",
                     "the next row up, as in the worked example of IPC "
                     "Appendix E");
}

/* ---- Fixtures --------------------------------------------------------- */

/* What fixtures have in common of which one override is told. */
struct alike {
    const struct fci_fixture_kind *kind;
    const fc_valve *valve; /* a valve of another kind; else NULL */
    double set, code;
};

static bool
is_alike(const struct alike *a, const struct alike *b)
{
    return a->kind == b->kind && a->valve == b->valve && a->set <= b->set
           && a->set >= b->set && a->code <= b->code && a->code >= b->code;
}

/* Finds what is overridden at a fixture in a state, or in any of them. */
typedef bool fixture_test(const struct fci_check_words *w,
                          const struct fci_fixture *fixture, fc_state state,
                          struct alike *alike);

struct fixture_question {
    fixture_test *test;
    struct alike alike;
    unsigned states; /* of the fixture, in which it is so */
};

static unsigned
states_alike(const struct fci_check_words *w,
             const struct fci_fixture *fixture,
             const struct fixture_question *q)
{
    struct alike alike;
    unsigned states = 0;
    int state;

    for (state = 0; state < states_of(w); state++)
        if (q->test(w, fixture, (fc_state)state, &alike)
            && is_alike(&alike, &q->alike))
            states |= FC_IN(state);
    return states;
}

static bool
in_the_states(const struct fci_check_words *w,
              const struct fci_fixture *fixture, const void *data)
{
    const struct fixture_question *q = data;

    return states_alike(w, fixture, q) == q->states;
}

/* Whether it was told of a fixture before, or of this one in another state. */
static bool
was_told(const struct fci_check_words *w, size_t i, fc_state state,
         const struct fixture_question *q)
{
    const fc_site *site = w->judge->site;
    size_t k;

    for (k = 0; k < i; k++)
        if (in_the_states(w, &site->fixtures[k], q))
            return true;
    return state == FC_RETROFIT && (q->states & FC_IN(FC_EXISTING));
}

/* Each that differs from the others once, with the names of its fixtures. */
static void
override_fixtures(struct fci_check_words *w, fixture_test *test,
                  void (*tell)(struct fci_check_words *w, unsigned states,
                               const struct alike *alike, const char *names))
{
    const fc_site *site = w->judge->site;
    struct fixture_question q = { .test = test };
    const char *names;
    size_t i;
    int state;

    for (i = 0; i < site->n_fixtures; i++)
        for (state = 0; state < states_of(w); state++) {
            if (!test(w, &site->fixtures[i], (fc_state)state, &q.alike))
                continue;
            q.states = states_alike(w, &site->fixtures[i], &q);
            if (was_told(w, i, (fc_state)state, &q))
                continue;
            names = fci_name_some(w, in_the_states, &q);
            if (names)
                tell(w, w->judge->converted ? q.states : 0, &q.alike, names);
        }
}

static bool
has_fewer_units(const struct fci_check_words *w,
                const struct fci_fixture *fixture, fc_state state,
                struct alike *alike)
{
    const struct fci_units_of_use units = fci_code_units(fixture, state);
    const fc_range given = fixture->given->fixture_units;

    (void)w;
    *alike = (struct alike){ fixture->kind, NULL, given.nominal, units.total };
    return given.given && units.given && given.nominal * ALIKE < units.total;
}

static void
tell_units(struct fci_check_words *w, unsigned states,
           const struct alike *alike, const char *names)
{
    fci_override(
        &w->found, states, BY_CODE,
        fci_arena_printf(w->found.arena, "fixture units of %s,", names),
        fci_arena_printf(w->found.arena, "%.4g each", alike->set),
        fci_arena_printf(w->found.arena, "%.4g each", alike->code));
}

static bool
has_higher_maximum(const struct fci_check_words *w,
                   const struct fci_fixture *fixture, fc_state state,
                   struct alike *alike)
{
    const struct fci_limit *limit =
        fci_tables_limit(w->judge->site->tables, "maximum static");
    const fc_range set = fixture->given->maximum_static;

    (void)state;
    *alike = (struct alike){ NULL, NULL, set.nominal,
                             limit ? limit->pressure : INFINITY };
    return set.given && set.nominal > alike->code * ALIKE;
}

static void
tell_maximum(struct fci_check_words *w, unsigned states,
             const struct alike *alike, const char *names)
{
    fci_override(
        &w->found, states, BY_CODE,
        fci_arena_printf(w->found.arena, "maximum static of %s,", names),
        shown_one(w, FC_PRESSURE, alike->set),
        shown_one(w, FC_PRESSURE, alike->code));
}

static bool
has_no_code_minimum(const struct fci_check_words *w,
                    const struct fci_fixture *fixture, fc_state state,
                    struct alike *alike)
{
    const fc_valve *valve = fixture->valve[state];

    *alike = (struct alike){ fixture->kind, NULL, 0, fixture->kind->pressure };
    if (w->judge->site->settings.code_minimum != FC_NO || !valve
        || !valve->minimum_flowing.given || isnan(fixture->kind->pressure))
        return false;
    alike->set = valve->minimum_flowing.low;
    return alike->set * ALIKE < alike->code;
}

static void
tell_minimum(struct fci_check_words *w, unsigned states,
             const struct alike *alike, const char *names)
{
    fci_override(
        &w->found, states, BY_CODE,
        fci_arena_printf(w->found.arena,
                         "minimum flowing pressure of %s (code minimum = "
                         "no),",
                         names),
        fci_arena_printf(w->found.arena, "the valve's %s",
                         shown_one(w, FC_PRESSURE, alike->set)),
        shown_one(w, FC_PRESSURE, alike->code));
}

static void
override_minimum(struct fci_check_words *w)
{
    const size_t before = w->found.n_overrides;

    override_fixtures(w, has_no_code_minimum, tell_minimum);
    if (w->judge->site->settings.code_minimum == FC_NO
        && w->found.n_overrides == before)
        fci_override(&w->found, 0, BY_CODE, "code minimum", "no",
                     "yes; no valve here states less than the code");
}

static bool
is_outside(fc_range value, fc_range usual)
{
    return value.given && usual.given
           && (value.nominal * ALIKE < usual.low
               || value.nominal > usual.high * ALIKE);
}

/* A generic class says what it is for; of another valve its volume and rate
 * tell. */
static bool
has_wrong_valve(const struct fci_check_words *w,
                const struct fci_fixture *fixture, fc_state state,
                struct alike *alike)
{
    const struct fci_tables *tables = w->judge->site->tables;
    const fc_valve *valve = fixture->valve[state];
    const struct fci_fixture_kind *kind = fixture->kind;
    const struct fci_valve_class *own, *named;

    *alike = (struct alike){ kind, valve, 0, 0 };
    if (!kind->flushes || !valve || fixture->assumed[state])
        return false;
    own = fci_tables_valve(tables, kind->valve);
    named =
        fixture->generic[state] ? fci_tables_valve(tables, valve->name) : NULL;
    if (own && named && own->serves && named->serves
        && !fci_same_name(own->serves, named->serves))
        return true;
    return is_outside(valve->full_flush, kind->usual_flush)
           || is_outside(valve->flow, kind->usual_rate);
}

static void
tell_valve(struct fci_check_words *w, unsigned states,
           const struct alike *alike, const char *names)
{
    const fc_valve *valve = alike->valve;
    struct fci_words set = { w->found.arena, "", 0 };

    if (valve->full_flush.given)
        fci_say(&set, " at ", "%s", shown(w, FC_VOLUME, valve->full_flush));
    if (valve->flow.given)
        fci_say(&set, " at ", "%s", shown(w, FC_FLOW, valve->flow));
    fci_override(
        &w->found, states, BY_TABLES,
        fci_arena_printf(w->found.arena, "valve of %s, %s,", names,
                         valve->name),
        set.n ? set.text : "of another kind",
        fci_arena_printf(w->found.arena, "one for \"%s\", usually %s at %s",
                         alike->kind->head.name,
                         shown(w, FC_VOLUME, alike->kind->usual_flush),
                         shown(w, FC_FLOW, alike->kind->usual_rate)));
}

/* ---- Pipes ------------------------------------------------------------ */

/* The figure that a pipe sets and that of its table, where they differ. */
typedef bool pipe_test(const struct fci_pipe *pipe, double *set,
                       double *table);

static bool
has_higher_velocity(const struct fci_pipe *pipe, double *set, double *table)
{
    *set = pipe->velocity_limit;
    *table = pipe->material ? pipe->material->velocity_limit : NAN;
    return *set > *table * ALIKE;
}

static bool
is_smoother(const struct fci_pipe *pipe, double *set, double *table)
{
    *set = pipe->given->c.low;
    *table = pipe->material ? pipe->material->c_new : NAN;
    return pipe->given->c.given && *set > *table * ALIKE;
}

/* The pipes of element i's figures, from it on; NULL: told of an earlier one,
 * or memory was out. */
static const char *
name_pipes(struct fci_check_words *w, pipe_test *test, size_t i, double set,
           double table)
{
    const fc_site *site = w->judge->site;
    struct fci_words names = { w->found.arena, "", 0 };
    double s, t;
    size_t k, n = 0;

    for (k = 0; k < site->n_elements; k++) {
        const struct fci_element *element = &site->elements[k];

        if (!element->pipe || !test(element->pipe, &s, &t) || s < set
            || s > set || t < table || t > table)
            continue;
        if (k < i)
            return NULL;
        if (n++ < MOST_NAMES)
            fci_say(&names, ", ", "%s", element->name);
    }
    if (n > MOST_NAMES)
        fci_say(&names, " and ", "%zu more", n - MOST_NAMES);
    return names.text;
}

static void
override_pipes(struct fci_check_words *w, pipe_test *test, const char *what,
               fc_dimension dimension, const char *when)
{
    const fc_site *site = w->judge->site;
    double set, table;
    const char *names;
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        if (!site->elements[i].pipe
            || !test(site->elements[i].pipe, &set, &table))
            continue;
        names = name_pipes(w, test, i, set, table);
        if (names)
            fci_override(
                &w->found, 0, BY_TABLES,
                fci_arena_printf(w->found.arena, "%s of %s,", what, names),
                shown_one(w, dimension, set),
                fci_arena_printf(w->found.arena, "%s%s",
                                 shown_one(w, dimension, table), when));
    }
}

/* ---- Peak demand ------------------------------------------------------ */

/* How many fixtures, each of a group counted, do not work in the state to be,
 * by what is worked out at peak. */
static size_t
count_short(const struct fci_judge *judge)
{
    const fc_site *site = judge->site;
    const fc_state state = judge->converted ? FC_RETROFIT : FC_EXISTING;
    size_t i, n = 0;

    for (i = 0; i < site->n_fixtures; i++)
        if (fci_judge_fixture(judge, &site->fixtures[i], state).pressure
            != FC_WORKS)
            n += (size_t)site->fixtures[i].count;
    return n;
}

/* By that peak demand; its flow at the source.  False: out of memory. */
static bool
try_peak(const fc_site *site, const struct fci_demand_as *as, size_t *n_short,
         double *flow)
{
    struct fci_judge judge;
    const bool enough = fci_judge_begin_as(&judge, site, as, NULL) == FC_OK;

    if (enough) {
        const fc_state state = judge.converted ? FC_RETROFIT : FC_EXISTING;

        *n_short = count_short(&judge);
        *flow = judge.demand[state][site->order[0]].flow[FCI_WORST];
    }
    fci_judge_end(&judge);
    return enough;
}

static void
override_peak(struct fci_check_words *w, size_t n_short, double flow)
{
    const fc_site *site = w->judge->site;
    const struct fci_demand_as by_units = { .by_units = true };
    size_t n_code;
    double code_flow;

    if (!try_peak(site, &by_units, &n_code, &code_flow)) {
        w->found.arena->failed = true;
        return;
    }
    if (n_code > n_short)
        fci_override(&w->found, 0, BY_CODE, "peak demand",
                     fci_arena_printf(w->found.arena, "by probability, %s",
                                      shown_one(w, FC_FLOW, flow)),
                     fci_arena_printf(w->found.arena,
                                      "%s by fixture units, with which %zu "
                                      "fixture%s not known to have enough",
                                      shown_one(w, FC_FLOW, code_flow), n_code,
                                      n_code == 1 ? " is" : "s are"));
}

#define HALVINGS 30 /* of an interval, to a second and less */

/* The longest interval with which fewer fixtures have enough than with the
 * one given; 0: there is none. */
static double
flips_at(const fc_site *site, double longest, size_t n_short)
{
    struct fci_demand_as as = { 0 };
    double enough = longest, low = 0, flow;
    size_t n = n_short;
    int i;

    for (i = 0; i < HALVINGS; i++) {
        as.longest_interval = (low + enough) / 2;
        if (!try_peak(site, &as, &n, &flow))
            return 0;
        if (n > n_short)
            low = as.longest_interval;
        else
            enough = as.longest_interval;
    }
    return low;
}

static const char *
said_time(struct fci_check_words *w, double seconds)
{
    return seconds < 120 ? fci_arena_printf(w->found.arena, "%.3g s", seconds)
           : seconds < 7200
               ? fci_arena_printf(w->found.arena, "%.3g min", seconds / 60)
               : fci_arena_printf(w->found.arena, "%.3g h", seconds / 3600);
}

/* A range longer than known is said wherever a peak rests on it. */
static void
override_interval(struct fci_check_words *w, size_t n_short)
{
    const fc_site *site = w->judge->site;
    const double set = fci_longest_interval(site);
    const double known = fci_longest_known_interval(site);
    const char *flip = "at any interval the same fixtures have enough";
    double at;

    if (!(set > known * ALIKE))
        return;
    at = flips_at(site, set, n_short);
    if (at > 0)
        flip = fci_arena_printf(w->found.arena,
                                "with %s or less, fewer fixtures have enough",
                                said_time(w, at));
    fci_override(&w->found, 0, BY_TABLES, "interval between two uses",
                 said_time(w, set),
                 fci_arena_printf(w->found.arena, "at most %s; %s",
                                  said_time(w, known), flip));
    fci_find(&w->found, FC_WARN, "", 0, FC_FOUND_INTERVAL,
             "peak demand uses {interval} between two uses of a flush valve; "
             "no published method uses more than {known}, and {flip}: count "
             "the uses in the busiest hour",
             FCI_WITH(FCI_AS("interval", FC_TIME, set, said_time(w, set)),
                      FCI_AS("known", FC_TIME, known, said_time(w, known)),
                      FCI_AS("flips at", FC_TIME, at, ""),
                      FCI_WORD("flip", flip)));
}

static void
override_probability(struct fci_check_words *w)
{
    const fc_site *site = w->judge->site;
    const struct fci_demand_as as_it_is = { 0 };
    size_t n_short;
    double flow;
    int state;

    if (site->settings.peak != FC_PROBABILITY
        || fci_refuse_unsized(site, NULL) != FC_OK)
        return;
    for (state = 0; state < states_of(w); state++)
        if (fci_refuse_unknown_flush(site, (fc_state)state, NULL) != FC_OK)
            return;
    if (!try_peak(site, &as_it_is, &n_short, &flow)) {
        w->found.arena->failed = true;
        return;
    }
    override_peak(w, n_short, flow);
    override_interval(w, n_short);
}

/* ---- Tables ----------------------------------------------------------- */

#define MOST_FIGURES 4 /* of one section, told one by one */

static bool
is_figure(const char *key)
{
    static const char *const texts[] = { "title", "source", "note" };
    const size_t n = strlen(key);
    size_t i;

    for (i = 0; i < sizeof texts / sizeof *texts; i++)
        if (fci_same_name(key, texts[i]))
            return false;
    return n < 7 || !fci_same_name(key + n - 7, " source");
}

static void
override_section(struct fci_check_words *w, const struct fci_section *section)
{
    const struct fci_section *old =
        fci_tables_built_in(w->judge->site->tables, section);
    struct fci_words set = { w->found.arena, "", 0 }, was = set;
    size_t i, n = 0;

    for (i = 0; old && i < section->n_entries; i++) {
        const struct fci_entry *entry = &section->entries[i];
        const struct fci_entry *before =
            i < old->n_entries ? &old->entries[i] : NULL;

        if (!is_figure(entry->key)
            || (before && strcmp(before->value, entry->value) == 0))
            continue;
        if (n++ >= MOST_FIGURES)
            continue;
        fci_say(&set, ", ", "%s = %s", entry->key, entry->value);
        fci_say(&was, ", ", "%s = %s", entry->key,
                before ? before->value : "not given");
    }
    if (n == 0)
        return;
    if (n > MOST_FIGURES)
        fci_say(&set, " and ", "%zu more", n - MOST_FIGURES);
    fci_override(&w->found, 0, "the built-in tables",
                 fci_arena_printf(w->found.arena, "[%s %s] in %s",
                                  section->kind, section->name,
                                  w->judge->site->settings.tables),
                 set.text, was.text);
}

static void
override_tables(struct fci_check_words *w)
{
    const struct fci_tables *tables = w->judge->site->tables;
    const size_t n = fci_tables_count(tables);
    const struct fci_section *section;
    bool amended;
    size_t i;

    for (i = 0; i < n; i++) {
        section = fci_tables_section(tables, i, &amended);
        if (amended)
            override_section(w, section);
    }
}

void
fci_find_overrides(struct fci_check_words *w)
{
    override_probability(w);
    override_fixtures(w, has_fewer_units, tell_units);
    override_reading(w);
    override_minimum(w);
    override_maximum(w);
    override_fixtures(w, has_higher_maximum, tell_maximum);
    override_fixtures(w, has_wrong_valve, tell_valve);
    override_pipes(w, has_higher_velocity, "velocity limit", FC_VELOCITY, "");
    override_pipes(w, is_smoother, "C", FC_NUMBER, " for new pipe");
    override_tables(w);
}

fc_status
fci_overrides_of(const fc_site *site, struct fci_arena *arena,
                 struct fci_told *told)
{
    const struct fci_judge judge = { .site = site,
                                     .converted = fci_has_conversions(site) };
    struct fci_check_words w = { .judge = &judge,
                                 .found = { .converted = judge.converted,
                                            .units = site->settings.units,
                                            .arena = arena } };
    fc_status status;

    fci_find_overrides(&w);
    status = fci_findings_take(&w.found, told);
    fci_findings_free(&w.found);
    return status;
}
