/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/uses.c -- how often each fixture is used in a year.
 *
 * People use closets and urinals so often a day; those of one sex share the
 * fixtures that they may use evenly, as nobody says which one they choose.
 * What is known only as a range is one variable for the whole building, so
 * that both states of it see the same people, days and stays.  Everything is
 * worked out with each of these at either end, all together: a year's water is
 * linear in each of them alone but for the hygiene flushes, whose own bounds
 * stand for them, so that these corners bound it.
 */
#include "effects/uses.h"
#include "effects/idle.h"
#include "peak/flush_time.h"
#include "units/range_sums.h"

#include <math.h>

#define WEEKEND 2 /* days */

/* Where each unknown is: -1 low, 0 in the middle, 1 high. */
struct corner {
    signed char at[FCI_UNKNOWNS];
};

/* Uses a year in one corner: all together, and of one fixture. */
struct day_uses {
    double men_closet, women_closet, urinal;
};

/* How many fixtures share the uses, and whether there are any that men, that
 * women may use. */
struct sharing {
    double men, women, anyone, urinals;
    bool for_men, for_women;
};

/* Of a valve over all corners. */
struct bounds {
    fc_range rate; /* uses a day that start its clock anew */
    fc_range days;
    fc_range flushes; /* hygiene flushes a year, once they are known, */
    double after;     /* each so long after a use [days] */
};

struct making {
    const fc_site *site;
    struct fci_all_uses *all[FCI_SIDES][FC_STATES];
    enum fci_unknown parting[2]; /* what parts the sides */
    size_t n_parting;
    struct sharing sharing; /* in the corner at hand */
    bool urinals;           /* there are any */
    bool varies[FCI_UNKNOWNS];
    struct bounds *bounds[FC_STATES]; /* by fixture */
    bool bounded;                     /* they are known */
    fc_range days;                    /* a year on which anybody is there */
    fc_range hours;                   /* of such a day [days] */
};

static double
at(fc_range range, int end)
{
    return end < 0 ? range.low : end > 0 ? range.high : range.nominal;
}

static bool
is_same(fc_range a, fc_range b)
{
    return a.low >= b.low && a.low <= b.low && a.high >= b.high
           && a.high <= b.high;
}

static fc_range
usual(const fc_site *site, enum fci_usual_name name)
{
    return fci_tables_usual(site->tables, name)->range;
}

static fc_range
or_usual(const fc_site *site, fc_range given, enum fci_usual_name name)
{
    return given.given ? given : usual(site, name);
}

const char *
fci_unknown_said(enum fci_unknown unknown)
{
    static const char *const said[FCI_UNKNOWNS] = {
        [FCI_PEOPLE_COUNTED] = "how many people there are",
        [FCI_MEN_AMONG_THEM] = "how many of them are men",
        [FCI_USES_OF_EACH] = "how often each of them goes",
        [FCI_DAYS_OF_USE] = "on how many days a year",
        [FCI_FLUSHES_PER_USE] = "flushes of a sensor valve for each use",
        [FCI_LONG_STAYS] = "how many stays are long",
        [FCI_FALSE_FLUSHES] = "how many false flushes there are",
        [FCI_FIXTURES_COUNTED] = "how many fixtures there are",
        [FCI_OWN_USES] = "uses per day of fixtures",
        [FCI_OWN_COUNTED] = "how many fixtures there are",
        [FCI_IDLE_SPELLS] = "how many hygiene flushes there are",
        [FCI_SELF_FLUSHING] = "whether valves flush by themselves",
    };

    return said[unknown];
}

bool
fci_is_sensor(const struct fci_fixture *fixture, fc_state state)
{
    const fc_valve *v = fixture->valve[state];

    if (!v || v->sensor != FC_NOT_SAID)
        return v && v->sensor == FC_YES;
    return v->hygiene_flush.given || v->sensor_delay.given
           || v->short_stay.given || v->long_stay.given
           || v->flushes_per_battery_set.given || v->battery_life.given
           || v->power != FC_POWER_NOT_SAID
           || (fixture->converted && state == FC_RETROFIT);
}

/* ---- People ----------------------------------------------------------- */

static bool
counts_people(const fc_people *p)
{
    return p->people.given || p->men.given || p->women.given;
}

/* Those of [usage] as one kind more. */
static fc_people
people_of_usage(const fc_usage *u)
{
    const fc_people p = { .people = u->people,
                          .men = u->men,
                          .women = u->women,
                          .uses_per_day = u->uses_per_day,
                          .closet_uses = u->closet_uses,
                          .urinal_uses = u->urinal_uses,
                          .days_per_year = u->days_per_year };

    return p;
}

/* Days without use by the spells of the file. */
static double
closed_days(const fc_usage *usage)
{
    double time = 0;

    for (size_t i = 0; i < usage->n_closed; i++)
        time += usage->closed[i].count * usage->closed[i].time;
    return time / FCI_DAY;
}

static fc_range
days_of(const struct making *m, fc_range own)
{
    const fc_usage *usage = &m->site->usage;

    if (own.given)
        return own;
    if (usage->days_per_year.given)
        return usage->days_per_year;
    if (usage->n_closed > 0)
        return fc_exactly(fmax(FCI_YEAR_DAYS - closed_days(usage), 0));
    return usual(m->site, FCI_USUAL_DAYS);
}

/* On which anybody is there: as many as those have who come most. */
static fc_range
days_of_building(const struct making *m)
{
    const fc_site *site = m->site;
    const fc_people of_usage = people_of_usage(&site->usage);
    fc_range most = { 0 };

    if (counts_people(&of_usage))
        most = days_of(m, (fc_range){ 0 });
    for (size_t i = 0; i < site->n_parts; i++) {
        fc_range days;

        if (site->parts[i].kind != FCI_PEOPLE)
            continue;
        days = days_of(
            m, ((const fc_people *)site->parts[i].data)->days_per_year);
        most = most.given ? fci_range_max(most, days) : days;
    }
    return most.given ? most : days_of(m, (fc_range){ 0 });
}

/* Uses of closets and urinals by a man a day, of closets by a woman. */
static struct day_uses
uses_of_each(const struct making *m, const fc_people *p,
             const struct corner *c)
{
    const fc_site *site = m->site;
    const int end = c->at[FCI_USES_OF_EACH];
    const double closet = at(usual(site, FCI_USUAL_MAN_CLOSET), end);
    const double urinal = at(usual(site, FCI_USUAL_MAN_URINAL), end);
    struct day_uses u = { closet, at(usual(site, FCI_USUAL_WOMAN_CLOSET), end),
                          urinal };

    if (p->uses_per_day.given) {
        const double all = at(p->uses_per_day, end);

        u.women_closet = all;
        u.urinal =
            closet + urinal > 0 ? all * urinal / (closet + urinal) : all / 2;
        u.men_closet = all - u.urinal;
    }
    if (p->closet_uses.given)
        u.men_closet = u.women_closet = at(p->closet_uses, end);
    if (p->urinal_uses.given)
        u.urinal = at(p->urinal_uses, end);
    if (!m->urinals && !p->closet_uses.given)
        u.men_closet += u.urinal;
    /* closet uses are told as they are where there is nothing else */
    if (!m->urinals && !p->urinal_uses.given)
        u.urinal = 0;
    return u;
}

/* Of a year, by one kind of people. */
static void
add_people(const struct making *m, const fc_people *p, const struct corner *c,
           struct day_uses *sum)
{
    const struct day_uses each = uses_of_each(m, p, c);
    const double days =
        at(days_of(m, p->days_per_year), c->at[FCI_DAYS_OF_USE]);
    const int end = c->at[FCI_PEOPLE_COUNTED];
    const double share = 0.5 + 0.5 * c->at[FCI_MEN_AMONG_THEM];
    const double mixed = p->people.given ? at(p->people, end) : 0;
    const double men = (p->men.given ? at(p->men, end) : 0) + share * mixed;
    const double women =
        (p->women.given ? at(p->women, end) : 0) + (1 - share) * mixed;

    sum->men_closet += men * each.men_closet * days;
    sum->women_closet += women * each.women_closet * days;
    sum->urinal += men * each.urinal * days;
}

static struct day_uses
all_uses(const struct making *m, const struct corner *c)
{
    const fc_people of_usage = people_of_usage(&m->site->usage);
    struct day_uses sum = { 0, 0, 0 };

    add_people(m, &of_usage, c, &sum);
    for (size_t i = 0; i < m->site->n_parts; i++)
        if (m->site->parts[i].kind == FCI_PEOPLE)
            add_people(m, m->site->parts[i].data, c, &sum);
    return sum;
}

/* ---- Fixtures --------------------------------------------------------- */

static double
how_many(const struct fci_fixture *f, const struct corner *c)
{
    const enum fci_unknown counted =
        f->given->uses_per_day.given ? FCI_OWN_COUNTED : FCI_FIXTURES_COUNTED;

    return f->many.given ? at(f->many, c->at[counted]) : f->count;
}

static fc_sex
used_by(const struct fci_fixture *f)
{
    return f->kind->used == FCI_USED_AS_URINAL ? FC_MEN : f->given->used_by;
}

/* Those with uses of their own take no part. */
static void
count_sharing(struct making *m, const struct corner *c)
{
    const fc_site *site = m->site;
    const struct sharing none = { 0 };

    m->sharing = none;

    for (size_t i = 0; i < site->n_fixtures; i++) {
        const struct fci_fixture *f = &site->fixtures[i];
        const double n = f->given->uses_per_day.given ? 0 : how_many(f, c);

        m->urinals = m->urinals || f->kind->used == FCI_USED_AS_URINAL;
        if (f->kind->used == FCI_USED_AS_CLOSET) {
            m->sharing.for_men |= used_by(f) != FC_WOMEN;
            m->sharing.for_women |= used_by(f) != FC_MEN;
        }
        if (f->kind->used == FCI_USED_AS_URINAL)
            m->sharing.urinals += n;
        else if (f->kind->used != FCI_USED_AS_CLOSET)
            continue;
        else if (used_by(f) == FC_MEN)
            m->sharing.men += n;
        else if (used_by(f) == FC_WOMEN)
            m->sharing.women += n;
        else
            m->sharing.anyone += n;
    }
}

/* What fixtures with uses of their own take of all; the rest is shared. */
static struct day_uses
left_to_share(const struct making *m, const struct corner *c)
{
    const struct day_uses all = all_uses(m, c);
    const double closets = all.men_closet + all.women_closet;
    const double men = closets > 0 ? all.men_closet / closets : 0.5;
    struct day_uses left = all;

    for (size_t i = 0; i < m->site->n_fixtures; i++) {
        const struct fci_fixture *f = &m->site->fixtures[i];
        double own;

        if (!f->given->uses_per_day.given)
            continue;
        own = how_many(f, c) * at(f->given->uses_per_day, c->at[FCI_OWN_USES])
              * at(m->days, c->at[FCI_DAYS_OF_USE]);
        if (f->kind->used == FCI_USED_AS_URINAL)
            left.urinal -= own;
        else if (f->kind->used == FCI_USED_AS_CLOSET) {
            left.men_closet -= used_by(f) == FC_MEN     ? own
                               : used_by(f) == FC_WOMEN ? 0
                                                        : own * men;
            left.women_closet -= used_by(f) == FC_WOMEN ? own
                                 : used_by(f) == FC_MEN ? 0
                                                        : own * (1 - men);
        }
    }
    left.men_closet = fmax(left.men_closet, 0);
    left.women_closet = fmax(left.women_closet, 0);
    left.urinal = fmax(left.urinal, 0);
    return left;
}

static double
part_of(double uses, double fixtures)
{
    return fixtures > 0 ? uses / fixtures : 0;
}

/* Of one of a fixture in a year. */
static double
uses_of(const struct making *m, const struct fci_fixture *f,
        const struct day_uses *left, const struct corner *c)
{
    const struct sharing *s = &m->sharing;
    const double man = part_of(left->men_closet, s->men + s->anyone);
    const double woman = part_of(left->women_closet, s->women + s->anyone);

    if (f->given->uses_per_day.given)
        return at(f->given->uses_per_day, c->at[FCI_OWN_USES])
               * at(m->days, c->at[FCI_DAYS_OF_USE]);
    if (f->kind->used == FCI_USED_AS_URINAL)
        return part_of(left->urinal, s->urinals);
    if (f->kind->used != FCI_USED_AS_CLOSET)
        return 0;
    return used_by(f) == FC_MEN     ? man
           : used_by(f) == FC_WOMEN ? woman
                                    : man + woman;
}

static void
stretch(fc_range *range, double value, bool middle)
{
    if (isnan(value))
        return;
    if (!range->given || value < range->low)
        range->low = value;
    if (!range->given || value > range->high)
        range->high = value;
    if (!range->given || middle)
        range->nominal = value;
    range->given = true;
}

/* ---- Flushes and their water ------------------------------------------- */

/* One outlet in one corner. */
struct outcome {
    double uses, flushes, hygiene, volume, volume_a_day, days, per_flush;
};

static double
flushes_per_use(const struct making *m, const struct fci_fixture *f,
                fc_state state, const struct corner *c)
{
    const fc_valve *v = f->valve[state];

    if (v->flushes_per_use.given)
        return v->flushes_per_use.nominal;
    return fci_is_sensor(f, state)
               ? at(usual(m->site, FCI_USUAL_SENSOR_FLUSHES),
                    c->at[FCI_FLUSHES_PER_USE])
               : 1;
}

/* NAN: not known. */
static double
mean_volume(const struct making *m, const fc_valve *v, const struct corner *c)
{
    const fc_range stays = usual(m->site, FCI_USUAL_LONG_STAYS);
    const fc_range share = fci_reduced_share(
        m->site, v,
        (fc_range){ true, 1 - stays.nominal, 1 - stays.high, 1 - stays.low });
    const int end = v->reduced_share.given ? 0 : -c->at[FCI_LONG_STAYS];

    return fci_mean_flush(v, at(share, end), FCI_NOMINAL);
}

static double
idle_after(const struct making *m, const fc_valve *v) /* days */
{
    return or_usual(m->site, v->hygiene_flush, FCI_USUAL_HYGIENE).nominal
           / FCI_DAY;
}

/* In the middle of the ranges of days and hours; weekends where no spell is
 * told. */
static double
idle_flushes(const struct making *m, double rate, double days, double after)
{
    struct fci_calendar calendar;

    fci_mark_days(&m->site->usage, days, WEEKEND, &calendar);
    return fci_idle_flushes(&calendar, rate, m->hours.nominal, after);
}

/* Their ends are bounds whatever the uses, since they are not monotone in all
 * that is not known. */
static double
hygiene_of(const struct making *m, size_t fixture, fc_state state, double rate,
           double days, const struct corner *c)
{
    const struct fci_fixture *f = &m->site->fixtures[fixture];
    const fc_range bounds = m->bounds[state][fixture].flushes;
    const int end = c->at[FCI_IDLE_SPELLS];

    if (!fci_is_sensor(f, state) || !m->bounded)
        return 0;
    if (!f->valve[state]->hygiene_flush.given && c->at[FCI_SELF_FLUSHING] < 0)
        return 0;
    if (end != 0)
        return at(bounds, end);
    return fmin(
        fmax(idle_flushes(m, rate, days, idle_after(m, f->valve[state])),
             bounds.low),
        bounds.high);
}

/* Fixtures that follow each other are mostly used alike. */
static void
bound_hygiene(struct making *m, size_t fixture, fc_state state)
{
    const struct fci_fixture *f = &m->site->fixtures[fixture];
    struct bounds *b = &m->bounds[state][fixture];
    const struct bounds *last = fixture > 0 ? b - 1 : NULL;
    double after;

    b->flushes = fc_exactly(0);
    if (!fci_is_sensor(f, state) || !b->days.given)
        return;
    after = b->after = idle_after(m, f->valve[state]);
    b->flushes = last && is_same(last->rate, b->rate)
                         && is_same(last->days, b->days) && last->flushes.given
                         && last->after >= after && last->after <= after
                     ? last->flushes
                     : fci_idle_bounds(&m->site->usage, b->rate, b->days,
                                       m->hours, after);
}

static struct outcome
work_out(struct making *m, size_t fixture, fc_state state,
         const struct day_uses *left, const struct corner *c)
{
    const struct fci_fixture *f = &m->site->fixtures[fixture];
    const fc_valve *v = f->valve[state];
    struct bounds *b = &m->bounds[state][fixture];
    struct outcome o = { .uses = uses_of(m, f, left, c),
                         .volume = NAN,
                         .volume_a_day = NAN,
                         .per_flush = NAN };
    double extra, rate;

    o.days = at(m->days, c->at[FCI_DAYS_OF_USE]);
    if (!v)
        return o;
    extra =
        fci_is_sensor(f, state) && m->site->usage.false_flushes.given
            ? o.days
                  * at(m->site->usage.false_flushes, c->at[FCI_FALSE_FLUSHES])
            : 0;
    o.per_flush = mean_volume(m, v, c);
    rate = o.days > 0 ? (o.uses + extra) / o.days : 0;
    if (!m->bounded) {
        stretch(&b->rate, rate, false);
        stretch(&b->days, o.days, false);
    }
    o.hygiene = hygiene_of(m, fixture, state, rate, o.days, c);
    o.flushes = o.uses * flushes_per_use(m, f, state, c) + extra + o.hygiene;
    if (o.days > 0)
        o.volume_a_day = (o.flushes - o.hygiene) * o.per_flush / o.days;
    /* a hygiene flush is a full one */
    o.volume = (o.flushes - o.hygiene) * o.per_flush
               + (o.hygiene > 0 ? o.hygiene * v->full_flush.nominal : 0);
    return o;
}

/* ---- Over all corners -------------------------------------------------- */

static bool
tells_people(const fc_site *site)
{
    const fc_people of_usage = people_of_usage(&site->usage);
    bool told = counts_people(&of_usage);

    for (size_t i = 0; i < site->n_parts && !told; i++)
        told = site->parts[i].kind == FCI_PEOPLE
               && counts_people(site->parts[i].data);
    return told;
}

/* What is known in one state alone would be saved, or spent, as a whole. */
static void
add_volumes(const struct fci_fixture *f, bool used,
            const double volume[FC_STATES], double n, double sum[FC_STATES],
            struct fci_year *year)
{
    bool known = true;

    for (int s = 0; s < FC_STATES; s++)
        known = known && !isnan(volume[s]);
    if (!known && used && (f->valve[FC_EXISTING] || f->valve[FC_RETROFIT]))
        year->left_out = f->given->name;
    year->counts = year->counts || known;
    for (int s = 0; s < FC_STATES && known; s++)
        sum[s] += n * volume[s];
}

static bool
is_on(const struct making *m, const struct corner *c, size_t side)
{
    for (size_t k = 0; k < m->n_parting; k++)
        if (c->at[m->parting[k]] != (side >> k & 1 ? 1 : -1))
            return false;
    return true;
}

/* Where there are several sides the middle is on none of them. */
static void
stretch_side(const struct making *m, fc_range *range, double value,
             bool middle)
{
    const double nominal = range->nominal;

    if (m->n_parting == 0 || !middle)
        stretch(range, value, middle);
    if (m->n_parting > 0)
        range->nominal = middle ? value : nominal;
}

static void
add_to_sides(const struct making *m, const struct corner *c, size_t fixture,
             int s, const struct outcome *o, bool middle)
{
    const double n = how_many(&m->site->fixtures[fixture], c);

    for (size_t side = 0; side < (size_t)1 << m->n_parting; side++) {
        struct fci_all_uses *all = &m->all[side][s][fixture];

        if (!middle && !is_on(m, c, side))
            continue;
        stretch_side(m, &all->count, n, middle);
        stretch_side(m, &all->flushes, n * o->flushes, middle);
        stretch_side(m, &all->hygiene, n * o->hygiene, middle);
        stretch_side(m, &all->volume, n * o->volume, middle);
        stretch_side(m, &all->volume_a_day, n * o->volume_a_day, middle);
    }
}

static void
take_corner(struct making *m, const struct corner *c, bool people,
            struct fci_use *uses[FC_STATES], struct fci_year *year)
{
    struct day_uses left;
    double sum[FC_STATES] = { 0, 0 };
    bool middle = true;

    count_sharing(m, c);
    left = left_to_share(m, c);

    for (size_t k = 0; k < FCI_UNKNOWNS; k++)
        middle = middle && c->at[k] == 0;
    for (size_t i = 0; i < m->site->n_fixtures; i++) {
        const struct fci_fixture *f = &m->site->fixtures[i];
        double volume[FC_STATES] = { NAN, NAN };

        for (int s = 0; s < FC_STATES; s++) {
            struct fci_use *use = &uses[s][i];
            struct outcome o;

            if (!f->given->uses_per_day.given
                && (!people || f->kind->used == FCI_USED_OTHERWISE))
                continue;
            o = work_out(m, i, (fc_state)s, &left, c);
            volume[s] = o.volume;
            use->given = true;
            stretch(&use->uses, o.uses, middle);
            stretch(&use->flushes, o.flushes, middle);
            stretch(&use->hygiene, o.hygiene, middle);
            stretch(&use->days, o.days, middle);
            stretch(&use->volume, o.volume, middle);
            stretch(&use->volume_a_day, o.volume_a_day, middle);
            stretch(&use->per_flush, o.per_flush, middle);
            add_to_sides(m, c, i, s, &o, middle);
        }
        add_volumes(f, uses[0][i].given, volume, how_many(f, c), sum, year);
        stretch(&m->all[0][FC_EXISTING][i].saved,
                how_many(f, c) * (volume[FC_EXISTING] - volume[FC_RETROFIT]),
                middle);
    }
    for (int s = 0; s < FC_STATES; s++)
        stretch(&year->volume[s], sum[s], middle);
    stretch(&year->saved, sum[FC_EXISTING] - sum[FC_RETROFIT], middle);
    year->homeless = year->homeless
                     || (left.men_closet > 0 && !m->sharing.for_men)
                     || (left.women_closet > 0 && !m->sharing.for_women)
                     || (left.urinal > 0 && !m->urinals);
}

/* The built-in figures of uses are no ranges; those of other tables may be. */
static bool
is_usual_wide(const fc_site *site)
{
    return !fci_is_exact(usual(site, FCI_USUAL_WOMAN_CLOSET))
           || !fci_is_exact(usual(site, FCI_USUAL_MAN_CLOSET))
           || !fci_is_exact(usual(site, FCI_USUAL_MAN_URINAL));
}

/* Which of them is a range that bears on something; two of them alone. */
static void
find_unknowns(struct making *m)
{
    const fc_people of_usage = people_of_usage(&m->site->usage);
    const fc_people *p = &of_usage;

    for (size_t i = 0; i <= m->site->n_parts; i++) {
        if (i > 0 && m->site->parts[i - 1].kind != FCI_PEOPLE)
            continue;
        if (i > 0)
            p = m->site->parts[i - 1].data;
        m->varies[FCI_PEOPLE_COUNTED] |= !fci_is_exact(p->people)
                                         || !fci_is_exact(p->men)
                                         || !fci_is_exact(p->women);
        m->varies[FCI_MEN_AMONG_THEM] |= p->people.given;
        m->varies[FCI_USES_OF_EACH] |=
            is_usual_wide(m->site) || !fci_is_exact(p->uses_per_day)
            || !fci_is_exact(p->closet_uses) || !fci_is_exact(p->urinal_uses);
        m->varies[FCI_DAYS_OF_USE] |=
            !fci_is_exact(days_of(m, p->days_per_year));
    }
    for (size_t i = 0; i < m->site->n_fixtures; i++) {
        const struct fci_fixture *f = &m->site->fixtures[i];

        m->varies[FCI_OWN_USES] |= !fci_is_exact(f->given->uses_per_day);
        m->varies[f->given->uses_per_day.given ? FCI_OWN_COUNTED
                                               : FCI_FIXTURES_COUNTED] |=
            !fci_is_exact(f->many);
        for (int s = 0; s < FC_STATES; s++) {
            const fc_valve *v = f->valve[s];
            const bool sensor = fci_is_sensor(f, (fc_state)s);

            m->varies[FCI_FLUSHES_PER_USE] |=
                sensor && !v->flushes_per_use.given;
            m->varies[FCI_LONG_STAYS] |=
                v && v->reduced_flush.given && !v->reduced_share.given;
            m->varies[FCI_IDLE_SPELLS] |= sensor;
            m->varies[FCI_SELF_FLUSHING] |= sensor && !v->hygiene_flush.given;
            m->varies[FCI_FALSE_FLUSHES] |=
                sensor && !fci_is_exact(m->site->usage.false_flushes);
        }
    }
}

/* Fixtures with uses of their own leave others what is left, but no less than
 * none: then no end of these needs to be the worst, and nothing is parted. */
static void
find_sides(struct making *m)
{
    static const enum fci_unknown both[] = { FCI_MEN_AMONG_THEM,
                                             FCI_FIXTURES_COUNTED };

    for (size_t i = 0; i < m->site->n_fixtures; i++)
        if (m->site->fixtures[i].given->uses_per_day.given)
            return;
    for (size_t k = 0; k < 2; k++)
        if (m->varies[both[k]])
            m->parting[m->n_parting++] = both[k];
}

static double
width(fc_range range)
{
    return range.given ? range.high - range.low : 0;
}

static void
take_ends(struct making *m, const size_t *varying, size_t n, bool people,
          struct fci_use *uses[FC_STATES], struct fci_year *year)
{
    struct corner c = { { 0 } };

    for (size_t bits = 0; bits < (size_t)1 << n; bits++) {
        for (size_t i = 0; i < n; i++)
            c.at[varying[i]] = bits >> i & 1 ? 1 : -1;
        take_corner(m, &c, people, uses, year);
    }
}

/* All corners of what varies; the middle first.  What bounds the hygiene
 * flushes is found by a round of its own, of the corners alone. */
static void
take_corners(struct making *m, bool people, struct fci_use *uses[FC_STATES],
             struct fci_year *year)
{
    size_t varying[FCI_UNKNOWNS], n = 0;
    struct corner c = { { 0 } };

    for (size_t k = 0; k < FCI_UNKNOWNS; k++)
        if (m->varies[k])
            varying[n++] = k;
    if (!m->bounded) {
        take_ends(m, varying, n, people, uses, year);
        return;
    }
    take_corner(m, &c, people, uses, year);
    year->weighs = FCI_UNKNOWNS;
    for (size_t i = 0; i < n; i++) {
        struct fci_year alone = { .saved = fc_exactly(year->saved.nominal) };

        for (int end = -1; end <= 1; end += 2) {
            c.at[varying[i]] = (signed char)end;
            take_corner(m, &c, people, uses, &alone);
        }
        c.at[varying[i]] = 0;
        if (width(alone.saved) > width(year->saved_by_it)) {
            year->saved_by_it = alone.saved;
            year->weighs = (enum fci_unknown)varying[i];
        }
    }
    take_ends(m, varying, n, people, uses, year);
}

/* Fixtures with uses of their own leave the less to the others the more they
 * are used, one more and another one less: what bounds each fixture bounds
 * their sum, and no corner needs to. */
static void
widen(const struct making *m, struct fci_year *year)
{
    const bool ranges = m->varies[FCI_OWN_USES] || m->varies[FCI_OWN_COUNTED];
    fc_range volume[FC_STATES] = { { 0 } }, saved = { 0 };

    if (!ranges)
        return;
    for (size_t i = 0; i < m->site->n_fixtures; i++) {
        if (!m->all[0][FC_EXISTING][i].saved.given)
            continue;
        for (int s = 0; s < FC_STATES; s++)
            fci_range_add(&volume[s], m->all[0][s][i].volume);
        fci_range_add(&saved, m->all[0][FC_EXISTING][i].saved);
    }
    for (int s = 0; s < FC_STATES; s++)
        fci_range_hull(&volume[s], year->volume[s]);
    for (int s = 0; s < FC_STATES; s++)
        year->volume[s] = volume[s];
    fci_range_hull(&saved, year->saved);
    year->saved = saved;
}

/* Room for the uses of all fixtures, afresh. */
static bool
make_room(struct making *m, struct fci_arena *arena,
          struct fci_use *uses[FC_STATES])
{
    const size_t n = m->site->n_fixtures + 1;

    for (int s = 0; s < FC_STATES; s++) {
        uses[s] = fci_arena_array(arena, n, sizeof *uses[s]);
        if (!m->bounded)
            m->bounds[s] = fci_arena_array(arena, n, sizeof *m->bounds[s]);
        for (size_t side = 0; side < (size_t)1 << m->n_parting; side++)
            m->all[side][s] =
                fci_arena_array(arena, n, sizeof *m->all[side][s]);
    }
    return !arena->failed;
}

fc_status
fci_year_make(const fc_site *site, struct fci_arena *arena,
              struct fci_year *year)
{
    const struct corner middle = { { 0 } };
    struct making m = { .site = site };
    struct fci_use *uses[FC_STATES];
    const bool people = tells_people(site);
    bool told = people;

    m.days = days_of_building(&m);
    m.hours = fci_range_times(
        or_usual(site, site->usage.hours_per_day, FCI_USUAL_HOURS),
        1 / FCI_DAY);

    *year = (struct fci_year){ .weighs = FCI_UNKNOWNS };
    for (size_t i = 0; i < site->n_fixtures; i++)
        told = told || site->fixtures[i].given->uses_per_day.given;
    if (told) {
        count_sharing(&m, &middle);
        find_unknowns(&m);
        find_sides(&m);
    }
    if (!make_room(&m, arena, uses))
        return FC_ENOMEM;
    if (told) {
        take_corners(&m, people, uses, year);
        for (int s = 0; s < FC_STATES; s++)
            for (size_t i = 0; i < site->n_fixtures; i++)
                bound_hygiene(&m, i, (fc_state)s);
        m.bounded = true;
        *year = (struct fci_year){ .weighs = FCI_UNKNOWNS };
        if (!make_room(&m, arena, uses))
            return FC_ENOMEM;
        take_corners(&m, people, uses, year);
        widen(&m, year);
    }
    year->told = told;
    year->n_sides = (size_t)1 << m.n_parting;
    for (int s = 0; s < FC_STATES; s++) {
        year->uses[s] = uses[s];
        for (size_t side = 0; side < year->n_sides; side++)
            year->all[side][s] = m.all[side][s];
    }
    return FC_OK;
}
