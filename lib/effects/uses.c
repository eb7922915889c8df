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

#include <math.h>

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
    double fewest, most; /* hygiene flushes a year, once they are known */
};

struct making {
    const fc_site *site;
    struct sharing sharing; /* in the corner at hand */
    bool urinals;           /* there are any */
    bool varies[FCI_UNKNOWNS];
    struct bounds *bounds[FC_STATES]; /* by fixture */
    bool bounded;                     /* they are known */
};

static double
at(fc_range range, int end)
{
    return end < 0 ? range.low : end > 0 ? range.high : range.nominal;
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
        [FCI_IDLE_SPELLS] = "how many hygiene flushes there are",
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

/* Uses of closets and urinals by a man a day, of closets by a woman. */
static struct day_uses
uses_of_each(const struct making *m, const fc_people *p,
             const struct corner *c)
{
    const fc_site *site = m->site;
    const double closet = usual(site, FCI_USUAL_MAN_CLOSET).nominal;
    const double urinal = usual(site, FCI_USUAL_MAN_URINAL).nominal;
    const int end = c->at[FCI_USES_OF_EACH];
    struct day_uses u = { closet, 0, urinal };

    u.women_closet = usual(site, FCI_USUAL_WOMAN_CLOSET).nominal;
    if (p->uses_per_day.given) {
        const double all = at(p->uses_per_day, end);

        u.women_closet = all;
        u.urinal = all * urinal / (closet + urinal);
        u.men_closet = all - u.urinal;
    }
    if (p->closet_uses.given)
        u.men_closet = u.women_closet = at(p->closet_uses, end);
    if (p->urinal_uses.given)
        u.urinal = at(p->urinal_uses, end);
    if (!m->urinals && !p->closet_uses.given) {
        u.men_closet += u.urinal;
        u.urinal = 0;
    }
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
    return f->many.given ? at(f->many, c->at[FCI_FIXTURES_COUNTED]) : f->count;
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
        const fc_range days = days_of(m, (fc_range){ 0 });
        double own;

        if (!f->given->uses_per_day.given)
            continue;
        own = how_many(f, c)
              * at(f->given->uses_per_day, c->at[FCI_USES_OF_EACH])
              * at(days, c->at[FCI_DAYS_OF_USE]);
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
        return at(f->given->uses_per_day, c->at[FCI_USES_OF_EACH])
               * at(days_of(m, (fc_range){ 0 }), c->at[FCI_DAYS_OF_USE]);
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
    const double full = v->full_flush.given ? v->full_flush.nominal : NAN;
    const fc_range stays = or_usual(m->site, m->site->usage.long_stay_share,
                                    FCI_USUAL_LONG_STAYS);
    double reduced = 1 - at(stays, c->at[FCI_LONG_STAYS]);

    if (!v->reduced_flush.given)
        return full;
    if (v->reduced_share.given)
        reduced = v->reduced_share.nominal;
    return (1 - reduced) * full + reduced * v->reduced_flush.nominal;
}

static double
idle_after(const struct making *m, const fc_valve *v) /* days */
{
    return or_usual(m->site, v->hygiene_flush, FCI_USUAL_HYGIENE).nominal
           / FCI_DAY;
}

/* Their ends are bounds whatever the uses, since they are not monotone in all
 * that is not known. */
static double
hygiene_of(const struct making *m, size_t fixture, fc_state state, double rate,
           double days, const struct corner *c)
{
    const struct fci_fixture *f = &m->site->fixtures[fixture];
    const struct bounds *b = &m->bounds[state][fixture];
    const int end = c->at[FCI_IDLE_SPELLS];
    double after;

    if (!fci_is_sensor(f, state) || !m->bounded)
        return 0;
    if (end != 0)
        return end < 0 ? b->fewest : b->most;
    after = idle_after(m, f->valve[state]);
    return fmin(fmax(fci_idle_flushes(rate, days, after)
                         + fci_closed_flushes(&m->site->usage, days, after, 0),
                     b->fewest),
                b->most);
}

/* A valve whose file does not say may have none. */
static void
bound_hygiene(struct making *m, size_t fixture, fc_state state)
{
    const struct fci_fixture *f = &m->site->fixtures[fixture];
    struct bounds *b = &m->bounds[state][fixture];
    const double days[] = { b->days.low, b->days.high };

    b->fewest = b->most = 0;
    if (!fci_is_sensor(f, state) || !b->days.given)
        return;
    b->fewest = f->valve[state]->hygiene_flush.given ? (double)INFINITY : 0;
    for (int k = 0; k < 2; k++) {
        const double after = idle_after(m, f->valve[state]);
        const fc_usage *usage = &m->site->usage;

        b->fewest = fmin(b->fewest,
                         fci_idle_flushes(b->rate.high, days[k], after)
                             + fci_closed_flushes(usage, days[k], after, -1));
        b->most =
            fmax(b->most, fci_idle_flushes(b->rate.low, days[k], after)
                              + fci_closed_flushes(usage, days[k], after, 1));
    }
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

    o.days = at(days_of(m, (fc_range){ 0 }), c->at[FCI_DAYS_OF_USE]);
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
        }
        add_volumes(f, uses[0][i].given, volume, how_many(f, c), sum, year);
    }
    for (int s = 0; s < FC_STATES; s++)
        stretch(&year->volume[s], sum[s], middle);
    stretch(&year->saved, sum[FC_EXISTING] - sum[FC_RETROFIT], middle);
    year->homeless = year->homeless
                     || (left.men_closet > 0 && !m->sharing.for_men)
                     || (left.women_closet > 0 && !m->sharing.for_women)
                     || (left.urinal > 0 && !m->urinals);
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
        m->varies[FCI_USES_OF_EACH] |= !fci_is_exact(p->uses_per_day)
                                       || !fci_is_exact(p->closet_uses)
                                       || !fci_is_exact(p->urinal_uses);
        m->varies[FCI_DAYS_OF_USE] |=
            !fci_is_exact(days_of(m, p->days_per_year));
    }
    for (size_t i = 0; i < m->site->n_fixtures; i++) {
        const struct fci_fixture *f = &m->site->fixtures[i];

        m->varies[FCI_USES_OF_EACH] |= !fci_is_exact(f->given->uses_per_day);
        m->varies[FCI_FIXTURES_COUNTED] |= !fci_is_exact(f->many);
        for (int s = 0; s < FC_STATES; s++) {
            const fc_valve *v = f->valve[s];
            const bool sensor = fci_is_sensor(f, (fc_state)s);

            m->varies[FCI_FLUSHES_PER_USE] |=
                sensor && !v->flushes_per_use.given;
            m->varies[FCI_LONG_STAYS] |=
                v && v->reduced_flush.given && !v->reduced_share.given;
            m->varies[FCI_IDLE_SPELLS] |= sensor;
            m->varies[FCI_FALSE_FLUSHES] |=
                sensor && !fci_is_exact(m->site->usage.false_flushes);
        }
    }
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

    *year = (struct fci_year){ .weighs = FCI_UNKNOWNS };
    for (size_t i = 0; i < site->n_fixtures; i++)
        told = told || site->fixtures[i].given->uses_per_day.given;
    if (!make_room(&m, arena, uses))
        return FC_ENOMEM;
    if (told) {
        count_sharing(&m, &middle);
        find_unknowns(&m);
        take_corners(&m, people, uses, year);
        for (int s = 0; s < FC_STATES; s++)
            for (size_t i = 0; i < site->n_fixtures; i++)
                bound_hygiene(&m, i, (fc_state)s);
        m.bounded = true;
        *year = (struct fci_year){ .weighs = FCI_UNKNOWNS };
        if (!make_room(&m, arena, uses))
            return FC_ENOMEM;
        take_corners(&m, people, uses, year);
    }
    year->told = told;
    for (int s = 0; s < FC_STATES; s++)
        year->uses[s] = uses[s];
    return FC_OK;
}
