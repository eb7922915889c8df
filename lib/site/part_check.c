/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/part_check.c -- what a part of a site must be by itself. */
#include "ini/field_type.h"
#include "ground/call.h"
#include "site/site.h"
#include "laws/water.h"
#include "units/units.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#define LONGEST_NAME 64
#define LONGEST_YEAR 366.0 /* days */
#define DAY 86400.0        /* s */

/* A part under check; `worst` gathers the outcome. */
struct check {
    const struct fci_part *part;
    fc_diagnostics *messages;
    fc_status worst;
    bool pressures; /* are to be those of a building */
};

#define FAIL(c, ...)                                                          \
    note((c), fci_part_fail((c)->part, (c)->messages, __VA_ARGS__))

static void
note(struct check *c, fc_status status)
{
    if (c->worst != FC_ENOMEM)
        c->worst = status;
}

/* Whether a key was given, even if its figure was not understood (which has
 * been reported): what is said of missing keys must not repeat that. */
static bool
was_given(const struct check *c, const char *key, bool understood)
{
    return understood || fci_part_has_key(c->part, key);
}

/* The same, and not only in a line that could have been meant for it: it does
 * not go with another key. */
static bool
stands_there(const struct check *c, const char *key, bool understood)
{
    return understood
           || (c->part->section && fci_section_entry(c->part->section, key));
}

static void
check_name(struct check *c)
{
    const char *name = c->part->name, *p;
    const char *headed = fci_part_headed(c->part);

    if (!*name) {
        FAIL(c, NULL, "has no name; a name is expected, such as [%s %s-1]",
             headed,
             strchr(headed, ' ') ? fci_part_kinds[c->part->kind].word
                                 : headed);
        return;
    }
    for (p = name; *p; p++)
        if (!((*p >= 'a' && *p <= 'z') || (*p >= 'A' && *p <= 'Z')
              || (*p >= '0' && *p <= '9') || strchr("-_.", *p))) {
            FAIL(c, NULL,
                 "has a name that cannot be used; letters, digits, "
                 "\"-\", \"_\" and \".\" are expected");
            return;
        }
    if (p - name > LONGEST_NAME)
        FAIL(c, NULL, "has a name of %d characters; at most %d are expected",
             (int)(p - name), LONGEST_NAME);
}

/* ---- Pairs and kinds -------------------------------------------------- */

static void
check_settings(struct check *c, const fc_settings *s)
{
    if (s->water_temperature.given
        && !(s->water_temperature.low >= FCI_WATER_COLDEST
             && s->water_temperature.high <= FCI_WATER_HOTTEST))
        FAIL(c, "water temperature",
             "is not that of liquid water; 32 to 212 degF (0 to 100 degC) is "
             "expected");
}

static void
forbid(struct check *c, fc_range value, const char *key, const char *kind)
{
    if (value.given)
        FAIL(c, key,
             "does not belong to this kind of source; it belongs to "
             "a %s",
             kind);
}

/* What belongs to a flow test, and its highest residual. */
static void
check_flow_test(struct check *c, const fc_source *s)
{
    const bool tested = was_given(c, "residual", s->residual.given)
                        || was_given(c, "flow test", s->n_flow_test > 0);
    const fc_range still =
        s->test_static.given ? s->test_static : s->static_pressure;
    const bool rises =
        still.given
        && ((s->n_flow_test > 0 && s->flow_test[0].y > still.high)
            || (s->test_static.given && s->residual.given
                && s->residual.low > still.high));

    if (s->test_static.given && !tested)
        FAIL(c, "test static",
             "is given alone; it needs the flow test of that day, such as "
             "flow test = 50 psi at 223 gpm");
    if (s->within.given && !tested)
        FAIL(c, "within",
             "is given alone; it needs a flow test, whose gauge readings it "
             "is the accuracy of");
    if (s->within.given && s->within.nominal > 0
        && s->within.nominal < FCI_FINEST_GAUGE)
        FAIL(
            c, "within",
            "is finer than any gauge in a building; 0 (a drop that is known), "
            "or 0.05 psi (0.345 kPa) or more is expected");
    if (s->gauge && !tested)
        FAIL(c, "gauge",
             "is given alone; it needs a flow test, all of which was read by "
             "it");
    if (s->gauge && s->within.given)
        FAIL(c, "within",
             "is given with \"gauge\", which tells how good the readings are; "
             "one of them is expected");
    if (rises)
        FAIL(c, s->n_flow_test > 0 ? "flow test" : "residual",
             "is above the static pressure%s; it is expected to be at most "
             "that",
             s->test_static.given ? " of the test" : "");
}

static void
check_street_main(struct check *c, const fc_source *s)
{
    if (!was_given(c, "static", s->static_pressure.given))
        FAIL(c, NULL,
             "lacks \"static\"; a street main needs its static "
             "pressure");
    if (was_given(c, "residual", s->residual.given)
        != was_given(c, "residual flow", s->residual_flow.given))
        FAIL(c, s->residual.given ? "residual" : "residual flow",
             "is given alone; a flow test needs residual and residual flow");
    if (stands_there(c, "residual", s->residual.given)
        && stands_there(c, "flow test", s->n_flow_test > 0))
        FAIL(c, "flow test",
             "is given with \"residual\"; one of the two is expected");
    check_flow_test(c, s);
    if (s->static_pressure.given && s->residual.given && !s->test_static.given
        && (s->residual.nominal > s->static_pressure.nominal
            || s->residual.low > s->static_pressure.high))
        FAIL(c, "residual",
             "is above the static pressure; it is expected to be at most "
             "that, or \"test static\" to tell the static pressure on the day "
             "of the test");
}

static void
check_source(struct check *c, const fc_source *s)
{
    if (s->kind == 0) /* not understood: said already */
        return;
    if (s->kind == FC_STREET_MAIN)
        check_street_main(c, s);
    else {
        forbid(c, s->static_pressure, "static", "street main");
        forbid(c, s->residual, "residual", "street main");
        forbid(c, s->residual_flow, "residual flow", "street main");
        forbid(c, s->test_static, "test static", "street main");
        forbid(c, s->within, "within", "street main");
        if (s->n_flow_test > 0)
            FAIL(c, "flow test",
                 "does not belong to this kind of source; it belongs to a "
                 "street main");
    }
    if (s->kind == FC_TANK) {
        if (!was_given(c, "water level", s->water_level.given))
            FAIL(c, NULL,
                 "lacks \"water level\"; a tank needs the elevation "
                 "of its surface");
        else if (s->water_level.given
                 && s->water_level.low < s->elevation.high)
            FAIL(c, "water level",
                 "is below the outlet's elevation; a surface above the "
                 "outlet is expected");
    } else
        forbid(c, s->water_level, "water level", "tank");
    if (s->kind != FC_TANK)
        forbid(c, s->volume, "volume", "tank");
    if (s->kind == FC_WELL) {
        if (!was_given(c, "rate", s->rate.given))
            FAIL(c, NULL,
                 "lacks \"rate\"; a well needs what it gives, such as 10 "
                 "gpm");
    } else if (s->kind != FC_TANK)
        forbid(c, s->rate, "rate", "well or a tank");
    if (s->rate.given && s->kind == FC_TANK
        && !was_given(c, "volume", s->volume.given))
        FAIL(c, "rate",
             "is given alone; it fills a tank of a \"volume\", which is "
             "needed with it");
    if (s->kind == FC_FIXED) {
        if (!was_given(c, "pressure", s->pressure.given))
            FAIL(c, NULL,
                 "lacks \"pressure\"; a fixed source needs its "
                 "pressure");
    } else
        forbid(c, s->pressure, "pressure", "fixed source");
}

/* Whether a is surely above b. */
static bool
above(fc_range a, fc_range b)
{
    return a.given && b.given && a.low > b.high;
}

/* What belongs to a sensor valve, and the two lengths of stay. */
static void
check_sensor(struct check *c, const fc_valve *v)
{
    const struct {
        const char *key;
        bool given;
    } own[] = {
        { "power", v->power != FC_POWER_NOT_SAID },
        { "sensor delay", v->sensor_delay.given },
        { "short stay", v->short_stay.given },
        { "long stay", v->long_stay.given },
        { "flushes per battery set", v->flushes_per_battery_set.given },
        { "battery life", v->battery_life.given },
    };

    for (size_t i = 0; i < sizeof own / sizeof *own; i++)
        if (own[i].given && v->sensor == FC_NO)
            FAIL(c, own[i].key,
                 "belongs to a sensor valve, which this one is not; sensor = "
                 "yes is expected with it");
    if (v->power == FC_WIRED
        && (v->flushes_per_battery_set.given || v->battery_life.given))
        FAIL(c, "power",
             "is wired, and batteries are told of; one of the two is "
             "expected");
    if (v->hygiene_flush.given && v->hygiene_flush.low < FCI_SHORTEST_IDLE)
        FAIL(c, "hygiene flush",
             "is below 1 h; no valve flushes that often, a longer time is "
             "expected");
    if (above(v->short_stay, v->long_stay))
        FAIL(c, "short stay",
             "is above the long stay; a shorter time is expected");
    if (v->long_stay.given
        && !was_given(c, "reduced flush", v->reduced_flush.given))
        FAIL(c, "long stay", "is given alone; it needs a reduced flush");
}

static void
check_valve(struct check *c, const fc_valve *v)
{
    if (above(v->minimum_flowing, v->maximum_static))
        FAIL(c, "minimum flowing",
             "is above the maximum static; it is expected to be below it");
    if (above(v->minimum_flowing, v->maximum_flowing))
        FAIL(c, "minimum flowing",
             "is above the maximum flowing; it is expected to be below it");
    if (above(v->maximum_flowing, v->maximum_static))
        FAIL(c, "maximum flowing",
             "is above the maximum static; it is expected to be at most "
             "that");
    if (above(v->closes_at, v->minimum_flowing))
        FAIL(c, "closes at",
             "is above the minimum flowing; a valve that has its minimum "
             "closes, so it is expected to be at most that");
    if (v->reduced_flush.given
        && !was_given(c, "full flush", v->full_flush.given))
        FAIL(c, "reduced flush",
             "is given alone; the full flush is needed with it");
    if (above(v->reduced_flush, v->full_flush))
        FAIL(c, "reduced flush",
             "is above the full flush; a smaller volume is expected");
    if (v->reduced_share.given
        && !was_given(c, "reduced flush", v->reduced_flush.given))
        FAIL(c, "reduced share", "is given alone; it needs a reduced flush");
    if (v->regulated == FC_YES && !was_given(c, "flow", v->flow.given))
        FAIL(c, "regulated",
             "is given alone; it needs the flow, such as 25 gpm at 25 psi");
    check_sensor(c, v);
}

static void
check_people(struct check *c, const fc_people *p)
{
    if (!was_given(c, "people", p->people.given)
        && !was_given(c, "men", p->men.given)
        && !was_given(c, "women", p->women.given))
        FAIL(c, NULL,
             "lacks a number; \"people\", \"men\" or \"women\" is needed");
}

/* Those of one sex would be counted twice if `people` were all. */
static void
check_sexes(struct check *c, fc_range people, fc_range men, fc_range women)
{
    if (people.given && (men.given || women.given))
        FAIL(c, "people",
             "is given with \"%s\", whom it would count twice; men and women, "
             "or people, are expected, and others as [people NAME]",
             men.given ? "men" : "women");
}

/* A year has so many days, those on which nobody is there among them. */
static void
check_days(struct check *c, fc_range days, const fc_spell *closed, size_t n)
{
    double idle = 0;

    for (size_t i = 0; i < n; i++)
        idle += closed[i].count * closed[i].time / DAY;
    if (days.given && days.low + idle > LONGEST_YEAR)
        FAIL(c, "days per year", "%s; no more than a year has is expected",
             n > 0 ? "and \"closed\" come to more than a year"
                   : "is more than a year has");
}

static void
check_hours(struct check *c, fc_range hours)
{
    if (hours.given && hours.high > DAY)
        FAIL(c, "hours per day",
             "is more than a day has; up to 24 h is expected");
}

/* How often each of them comes, in one of two ways. */
static void
check_uses(struct check *c, fc_range per_day, fc_range closet, fc_range urinal)
{
    if (per_day.given && (closet.given || urinal.given))
        FAIL(c, closet.given ? "closet uses" : "urinal uses",
             "is given with \"uses per day\", which is of both; one of the "
             "two is expected");
}

static void
check_pressure_tank(struct check *c, const fc_pressure_tank *t)
{
    if (!t->cut_in.given || !t->cut_out.given)
        return;
    if (t->cut_out.low <= t->cut_in.high)
        FAIL(c, "cut-out",
             "is not above the cut-in; the pressure at which the pump stops, "
             "above that at which it starts, is expected");
    else if (t->precharge.given && t->precharge.high >= t->cut_out.low)
        FAIL(c, "precharge",
             "is not below the cut-out, so that the tank never has water; a "
             "pressure a little below the cut-in is expected");
}

static void
check_meter(struct check *c, const fc_device *d)
{
    if (!was_given(c, "loss", d->loss.kind != FC_NO_LOSS) && !d->meter_kind)
        FAIL(c, NULL,
             "lacks its loss; \"loss\", or \"kind\" and \"size\", is needed");
    if (d->loss.kind != FC_NO_LOSS && d->meter_kind)
        FAIL(c, "kind", "is given with the loss; one of them is expected");
    if (d->meter_kind && !was_given(c, "size", d->size.given))
        FAIL(c, "kind", "is given alone; it needs the size, such as 2 in");
}

static void
check_pipe(struct check *c, const fc_pipe *p)
{
    if (p->choose_size && p->inside_diameter.given)
        FAIL(c, "inside diameter",
             "is given though the size is to be chosen; the inside diameters "
             "of the material's sizes are taken");
}

static void
check_elevation(struct check *c)
{
    const char *const *floor = fci_part_floor(c->part);
    const char *const *to = fci_part_member(c->part, "to");
    const fc_range *rise, *own;

    if (!floor)
        return;
    rise = fci_part_member(c->part, "rise");
    own = fci_part_member(c->part, "elevation");
    if (!own->given && !*floor)
        return;
    if (rise->given)
        FAIL(c, "elevation",
             "is given with \"rise\"; one of the two is expected");
    if (to && *to)
        FAIL(c, "elevation",
             "is given for a pipe that closes a loop, which ends at \"to\"; "
             "no elevation is expected");
}

/* One bowl for both states, or one for each. */
static void
check_fixture(struct check *c, const fc_fixture *f)
{
    const bool each[] = { f->existing_bowl.given, f->retrofit_bowl.given };
    static const char *const keys[] = { "existing bowl", "retrofit bowl" };
    int state;

    for (state = 0; state < FC_STATES; state++)
        if (each[state] && f->bowl.given)
            FAIL(c, keys[state],
                 "is given with \"bowl\", which is that of both states; one "
                 "of the two is expected");
    if (each[FC_RETROFIT] && !was_given(c, "retrofit", f->retrofit != NULL))
        FAIL(c, "retrofit bowl",
             "is given alone; the valve it will have, \"retrofit\", is "
             "needed with it");
}

/* What is seen on a dial with every outlet shut: what says that one was open,
 * or that the dial does the other thing. */
static void
check_dial(struct check *c, const fc_reading *r)
{
    const struct {
        const char *key;
        bool given;
    } open[] = {
        { fci_reading_open_key(c->part), r->n_flushing > 0 },
        { "filled", r->filled_volume.given },
        { "flush time", r->flush_time.given },
    };
    size_t i;

    if (r->dial == FC_SEEN_NOTHING)
        return;
    for (i = 0; i < sizeof open / sizeof *open; i++)
        if (open[i].given)
            FAIL(c, open[i].key,
                 "is given with \"dial\", which is seen with every outlet "
                 "shut; a reading of its own is expected");
    if (r->flow.given && (r->flow.nominal > 0) != (r->dial == FC_SEEN_TURNING))
        FAIL(c, "flow", "%s; one of the two is expected",
             r->flow.nominal > 0 ? "is above 0, and the dial is still"
                                 : "is 0, and the dial turns");
}

static void
check_open_once(struct check *c)
{
    const struct fci_section *section = c->part->section;

    if (section && fci_section_entry(section, "open")
        && fci_section_entry(section, "flushing"))
        FAIL(c, "open",
             "is given with \"flushing\", which means the same; one of the "
             "two is expected");
}

/* A flow may be told in one of three ways. */
static void
check_reading(struct check *c, const fc_reading *r)
{
    const struct {
        const char *key;
        bool given;
    } flows[] = {
        { "flow", stands_there(c, "flow", r->flow.given) },
        { "filled", stands_there(c, "filled", r->filled_volume.given) },
        { "flush time", stands_there(c, "flush time", r->flush_time.given) },
    };
    const char *first = NULL;
    size_t i;

    for (i = 0; i < sizeof flows / sizeof *flows; i++) {
        if (flows[i].given && first)
            FAIL(c, flows[i].key,
                 "is given with \"%s\"; one of \"flow\", \"filled\" and "
                 "\"flush time\" is expected",
                 first);
        else if (flows[i].given)
            first = flows[i].key;
    }
    if (!first && !was_given(c, "pressure", r->pressure.given)
        && !was_given(c, "dial", r->dial != FC_SEEN_NOTHING))
        FAIL(c, NULL,
             "lacks \"pressure\"; a pressure, a flow or a dial is needed");
    check_dial(c, r);
    check_open_once(c);
}

static void
check_look(struct check *c, const fc_look *l)
{
    if (!was_given(c, "shows", l->shows != FC_SEEN_NOTHING)
        && !was_given(c, "rise", l->rise.given)
        && !was_given(c, "length", l->length.given)
        && !was_given(c, "size", l->size.given))
        FAIL(c, NULL,
             "lacks \"shows\"; that, or a rise, a length or a size, is "
             "needed");
}

/* The accuracy as a reading would give it. */
static void
check_gauge(struct check *c, const fc_gauge *g)
{
    const fc_deviation w = g->within;
    double within = w.amount;

    if (g->marks.given && g->marks.nominal < FCI_FINEST_GAUGE
        && g->marks.nominal > 0)
        FAIL(c, "marks",
             "are closer than on any gauge in a building; 0.05 psi (0.345 "
             "kPa) or more is expected");
    if (g->marks.given && g->full_scale.given
        && g->marks.nominal >= g->full_scale.nominal)
        FAIL(c, "marks",
             "are no less than the full scale apart; less than that is "
             "expected");
    if (!w.given)
        return;
    if (w.is_fraction && !g->full_scale.given) {
        if (!was_given(c, "full scale", false))
            FAIL(c, "within",
                 "is a percentage of nothing; \"full scale\" beside it is "
                 "needed, such as 160 psi");
        return;
    }
    if (w.is_fraction)
        within *= g->full_scale.nominal;
    if (within < FCI_FINEST_GAUGE && w.amount >= 0)
        FAIL(c, "within",
             "is finer than any gauge in a building; an accuracy of 0.05 psi "
             "(0.345 kPa) or more is expected");
    else if (!w.is_fraction && g->full_scale.given
             && within >= g->full_scale.nominal)
        FAIL(c, "within",
             "is no less than the full scale; an accuracy below that is "
             "expected");
}

/* ---- What no building has --------------------------------------------- */

/* A figure beyond these is a slip of the pen and no rare building; common
 * practice, each with room to what is met. */
struct plausible {
    enum fci_kind kind;
    const char *key;
    fc_dimension dimension;
    const char *limits; /* "20..160" */
    const char *of;     /* "no pipe has" */
};

static const struct plausible plausible[] = {
    /* new plastic and copper 150, badly scaled iron 40 */
    { FCI_PIPE, "c", FC_NUMBER, "20..160", "no pipe has" },
    /* mains are kept under 150 psi, high zones of towers under 200 */
    { FCI_SOURCE, "static", FC_PRESSURE, "-15..280 psi",
      "no street main has" },
    { FCI_REDUCER, "set", FC_PRESSURE, "0..250 psi",
      "no valve of a building is set to" },
    /* tanks of a building are rated for 125 or 150 psi */
    { FCI_PRESSURE_TANK, "cut-out", FC_PRESSURE, "0..150 psi",
      "no pressure tank has" },
    { FCI_PRESSURE_TANK, "volume", FC_VOLUME, "0.25..20000 gal",
      "no pressure tank has" },
    { FCI_SOURCE, "rate", FC_FLOW, "0.1..2000 gpm", "no well gives" },
    /* blowout closets ask for 45 psi */
    { FCI_VALVE, "minimum flowing", FC_PRESSURE, "0..100 psi",
      "no flush valve needs" },
    /* old closet valves pass 40 gpm */
    { FCI_VALVE, "flow", FC_FLOW, "1..80 gpm", "no flush valve passes" },
    /* an old closet of 7 gal */
    { FCI_VALVE, "full flush", FC_VOLUME, "0..10 gal",
      "no flush valve gives" },
    { FCI_FIXTURE, "bowl", FC_VOLUME, "0..10 gal", "no bowl is made for" },
    { FCI_FIXTURE, "existing bowl", FC_VOLUME, "0..10 gal",
      "no bowl is made for" },
    { FCI_FIXTURE, "retrofit bowl", FC_VOLUME, "0..10 gal",
      "no bowl is made for" },
    { FCI_VALVE, "supply size", FC_SIZE, "1/8..8 in", "no flush valve has" },
    { FCI_VALVE, "flushes per use", FC_NUMBER, "0..100", "no valve gives" },
    { FCI_FIXTURE, "supply size", FC_SIZE, "1/8..8 in", "no fixture has" },
    /* by the codes the most is 10 units; a group may stand for a wing */
    { FCI_FIXTURE, "fixture units", FC_NUMBER, "0..10000", "no fixture has" },
    /* a large fill valve passes 50 gpm */
    { FCI_FIXTURE, "rate", FC_FLOW, "0.05..80 gpm", "no outlet passes" },
    /* what is further from its pipe has a pipe between */
    { FCI_FIXTURE, "rise", FC_LENGTH, FCI_FIXTURE_RISES,
      "no fixture is from its pipe" },
};

/* Pressures are looked at in files alone: what would cure a building is tried
 * up to pressures that none has. */
static void
check_figure(struct check *c, const struct plausible *p)
{
    const fc_range *value = fci_part_member(c->part, p->key);
    const double slack = 1e-9;
    fc_range limits;

    if (!value->given || (p->dimension == FC_PRESSURE && !c->pressures)
        || !fci_read_figure(p->limits, p->dimension, true, &limits, NULL)
        || (value->low >= limits.low - fabs(limits.low) * slack
            && value->high <= limits.high * (1 + slack)))
        return;
    FAIL(c, p->key, "is %s, which %s; %s is expected",
         fci_show_range(FC_US, p->dimension, *value).text, p->of, p->limits);
}

/* A pipe that closes a loop has its rise from the heights of its ends. */
static void
check_rise(struct check *c, const fc_pipe *p)
{
    const double slack = 1 + 1e-6;

    if (!p->rise.given || !p->length.given || p->to
        || fmax(p->rise.low, -p->rise.high) <= p->length.high * slack)
        return;
    FAIL(c, "rise",
         "is %s, more than the %s of the pipe's length; a rise or fall up to "
         "its length is expected",
         fci_show_range(FC_US, FC_LENGTH, p->rise).text,
         fci_show_range(FC_US, FC_LENGTH, p->length).text);
}

/* Common practice: pipe comes in sticks of 10 and 20 ft, and so do couplings;
 * of other fittings there are fewer. */
#define MOST_FITTINGS 50
#define CLOSEST_FITTINGS "5 ft"

static void
check_fittings(struct check *c, const fc_pipe *p)
{
    fc_range closest;
    size_t i;

    if (!fci_read_figure(CLOSEST_FITTINGS, FC_LENGTH, false, &closest, NULL))
        return;
    for (i = 0; i < p->n_fittings && p->length.given; i++)
        if (p->fittings[i].count > MOST_FITTINGS
            && p->length.high < p->fittings[i].count * closest.low)
            FAIL(c, "fittings",
                 "has %d of \"%.60s\" on %s of pipe; up to %d of one "
                 "fitting, or one every " CLOSEST_FITTINGS ", is expected",
                 p->fittings[i].count, p->fittings[i].name,
                 fci_show_range(FC_US, FC_LENGTH, p->length).text,
                 MOST_FITTINGS);
}

#define DEEPEST_TANK "20 ft" /* common practice: few are deeper */

static void
check_depth(struct check *c, const fc_source *s)
{
    fc_range deepest;

    if (s->kind == FC_TANK && s->water_level.given
        && !was_given(c, "elevation", s->elevation.given)
        && fci_read_figure(DEEPEST_TANK, FC_LENGTH, false, &deepest, NULL)
        && s->water_level.high > deepest.high)
        FAIL(c, "water level",
             "is %s over an outlet whose height is not given; \"elevation\", "
             "the height of the outlet, is expected with a level of more "
             "than " DEEPEST_TANK,
             fci_show_range(FC_US, FC_LENGTH, s->water_level).text);
}

static void
check_plausible(struct check *c)
{
    size_t i;

    for (i = 0; i < sizeof plausible / sizeof *plausible; i++)
        if (plausible[i].kind == c->part->kind)
            check_figure(c, &plausible[i]);
    if (c->part->kind == FCI_PIPE) {
        check_rise(c, c->part->data);
        check_fittings(c, c->part->data);
    }
    if (c->part->kind == FCI_SOURCE)
        check_depth(c, c->part->data);
}

/* Both of two side by side have one inlet and one outlet. */
static void
check_reducer(struct check *c, const fc_reducer *r)
{
    if (!was_given(c, "from", r->from != NULL)
        && !was_given(c, "beside", r->beside != NULL))
        FAIL(c, NULL, "lacks \"from\"; the element that feeds it is needed");
    if (!r->beside)
        return;
    if (r->from)
        FAIL(c, "beside",
             "is given with \"from\"; one of the two is expected");
    if (r->rise.given || r->elevation.given)
        FAIL(c, r->rise.given ? "rise" : "elevation",
             "is given with \"beside\"; that of \"%.60s\" counts for both",
             r->beside);
}

/* A figure of a row of prices, as if it were a key. */
static void
check_row(struct check *c, const struct fci_field *field, fc_range value)
{
    struct fci_value v = { .where = fci_part_where(c->part),
                           .messages = c->messages,
                           .field = field };

    if (!value.given)
        fci_value_fail(&v, "is not given; a figure is needed");
    else
        fci_check_range(&v, field, value);
    if (v.status != FC_OK)
        note(c, v.status);
}

static void
check_prices(struct check *c, const fc_prices *p)
{
    static const struct fci_field size = { .key = "size",
                                           .type = &fci_figure_field,
                                           .dimension = FC_SIZE,
                                           .domain = FCI_POSITIVE },
                                  price = { .key = "price",
                                            .type = &fci_price_field,
                                            .dimension = FC_NUMBER,
                                            .domain = FCI_NOT_NEGATIVE };

    for (size_t i = 0; i < p->n_prices; i++) {
        check_row(c, &size, p->prices[i].size);
        check_row(c, &price, fc_exactly(p->prices[i].per_length));
    }
}

static void
check_kind(struct check *c)
{
    const void *data = c->part->data;
    const fc_device *device = data;

    switch (c->part->kind) {
    case FCI_SITE:
        check_settings(c, data);
        break;
    case FCI_SOURCE:
        check_source(c, data);
        break;
    case FCI_PIPE:
        check_pipe(c, data);
        break;
    case FCI_METER:
        check_meter(c, device);
        break;
    case FCI_BACKFLOW:
    case FCI_DEVICE:
        if (!FCI_IS_ENUM(device->kind, FC_DEVICE))
            FAIL(c, NULL,
                 "is no fc_device_kind; a meter, a backflow preventer or a "
                 "device is expected");
        if (!was_given(c, "loss", device->loss.kind != FC_NO_LOSS))
            FAIL(c, NULL,
                 "lacks \"loss\"; a loss is needed, such as 6 psi at 40 gpm");
        break;
    case FCI_REDUCER:
        check_reducer(c, data);
        break;
    case FCI_PRESSURE_TANK:
        check_pressure_tank(c, data);
        break;
    case FCI_PRICES:
        if (!c->part->section) /* the reader has said it of a file */
            check_prices(c, data);
        break;
    case FCI_FIXTURE:
        check_fixture(c, data);
        break;
    case FCI_VALVE:
        check_valve(c, data);
        break;
    case FCI_PEOPLE:
        check_people(c, data);
        check_sexes(c, ((const fc_people *)data)->people,
                    ((const fc_people *)data)->men,
                    ((const fc_people *)data)->women);
        check_days(c, ((const fc_people *)data)->days_per_year, NULL, 0);
        check_uses(c, ((const fc_people *)data)->uses_per_day,
                   ((const fc_people *)data)->closet_uses,
                   ((const fc_people *)data)->urinal_uses);
        break;
    case FCI_USAGE:
        check_days(c, ((const fc_usage *)data)->days_per_year,
                   ((const fc_usage *)data)->closed,
                   ((const fc_usage *)data)->n_closed);
        check_hours(c, ((const fc_usage *)data)->hours_per_day);
        check_sexes(c, ((const fc_usage *)data)->people,
                    ((const fc_usage *)data)->men,
                    ((const fc_usage *)data)->women);
        check_uses(c, ((const fc_usage *)data)->uses_per_day,
                   ((const fc_usage *)data)->closet_uses,
                   ((const fc_usage *)data)->urinal_uses);
        break;
    case FCI_READING:
        check_reading(c, data);
        break;
    case FCI_GAUGE:
        check_gauge(c, data);
        break;
    case FCI_LOOK:
        check_look(c, data);
        break;
    default:
        break;
    }
}

/* A list that a caller made: what it counts must be there. */
static void
check_list(struct check *c, const char *key, const void *list, size_t n)
{
    if (n > 0 && (!list || n > FCI_MOST_LISTED))
        FAIL(c, key,
             "has %zu items, %s; as many items as are counted, up to "
             "1,000,000, are expected",
             n, list ? "which is a slip" : "and no list of them");
}

static const void *
list_at(const void *data, size_t offset)
{
    const void *list;

    memcpy(&list, (const char *)data + offset, sizeof list);
    return list;
}

/* Before anything that the struct points to is looked at. */
static void
check_lists(struct check *c)
{
    const struct fci_part_kind *kind = &fci_part_kinds[c->part->kind];
    const char *data = c->part->data;
    const fc_prices *prices = c->part->data;
    const fc_floors *floors = c->part->data;

    for (size_t i = 0; i < kind->n_fields; i++) {
        const struct fci_field *field = &kind->fields[i];

        if (field->type->item > 0)
            check_list(c, field->key, list_at(data, field->offset),
                       *FCI_AT(data, field->second, size_t));
        if (field->type == &fci_loss_field) {
            const fc_loss *loss = FCI_AT(data, field->offset, fc_loss);

            check_list(c, field->key, loss->points, loss->n_points);
        }
    }
    if (c->part->kind == FCI_PRICES)
        check_list(c, NULL, prices->prices, prices->n_prices);
    if (c->part->kind == FCI_FLOORS)
        check_list(c, NULL, floors->floors, floors->n_floors);
}

static fc_status
check_part(const struct fci_part *part, bool pressures,
           fc_diagnostics *messages)
{
    const struct fci_part_kind *kind = &fci_part_kinds[part->kind];
    struct check c = { part, messages, FC_OK, pressures };
    struct fci_value v = { .where = fci_part_where(part),
                           .messages = messages };

    if (kind->named)
        check_name(&c);
    for (size_t i = 0; i < kind->n_fields; i++) {
        v.field = &kind->fields[i];
        if (v.field->type->check)
            v.field->type->check(&v, part->data);
    }
    if (v.status != FC_OK)
        note(&c, v.status);
    check_kind(&c);
    check_elevation(&c);
    if (c.worst == FC_OK) /* else more would be said of the same figure */
        check_plausible(&c);
    return c.worst;
}

fc_status
fci_part_check(const struct fci_part *part, fc_diagnostics *messages)
{
    return check_part(part, part->section != NULL, messages);
}

fc_status
fci_part_check_given(const struct fci_part *part, const void *data,
                     fc_diagnostics *messages)
{
    const struct fci_part given = { .kind = part->kind,
                                    .name = part->name,
                                    .data = (void *)(uintptr_t)data };
    struct check c = { &given, messages, FC_OK, false };

    check_lists(&c);
    return c.worst != FC_OK ? c.worst : check_part(&given, false, messages);
}

fc_status
fci_part_check_changed(const struct fci_part *part, fc_diagnostics *messages)
{
    return check_part(part, part->as_file, messages);
}
