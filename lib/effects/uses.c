/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/uses.c -- how often each fixture is used in a year.
 *
 * People use closets and urinals so often a day; those of one sex share the
 * fixtures that they may use evenly, as nobody says which one they choose.
 */
#include "effects/uses_work.h"
#include "units/range_sums.h"

#include <math.h>

/* ---- People ----------------------------------------------------------- */

bool
fci_counts_people(const fc_people *p)
{
    return p->people.given || p->men.given || p->women.given;
}

fc_people
fci_people_of_usage(const fc_usage *u)
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

fc_range
fci_days_of(const struct fci_making *m, fc_range own)
{
    const fc_usage *usage = &m->site->usage;

    if (own.given)
        return own;
    if (usage->days_per_year.given)
        return usage->days_per_year;
    if (usage->n_closed > 0)
        return fc_exactly(fmax(FCI_YEAR_DAYS - closed_days(usage), 0));
    return fci_usual_range(m->site, FCI_USUAL_DAYS);
}

fc_range
fci_days_of_building(const struct fci_making *m)
{
    const fc_site *site = m->site;
    const fc_people of_usage = fci_people_of_usage(&site->usage);
    fc_range most = { 0 };

    if (fci_counts_people(&of_usage))
        most = fci_days_of(m, (fc_range){ 0 });
    for (size_t i = 0; i < site->n_parts; i++) {
        fc_range days;

        if (site->parts[i].kind != FCI_PEOPLE)
            continue;
        days = fci_days_of(
            m, ((const fc_people *)site->parts[i].data)->days_per_year);
        most = most.given ? fci_range_max(most, days) : days;
    }
    return most.given ? most : fci_days_of(m, (fc_range){ 0 });
}

/* Uses of closets and urinals by a man a day, of closets by a woman. */
static struct fci_day_uses
uses_of_each(const struct fci_making *m, const fc_people *p,
             const struct fci_corner *c)
{
    const fc_site *site = m->site;
    const int end = c->at[FCI_USES_OF_EACH];
    const double closet =
        fci_at_end(fci_usual_range(site, FCI_USUAL_MAN_CLOSET), end);
    const double urinal =
        fci_at_end(fci_usual_range(site, FCI_USUAL_MAN_URINAL), end);
    struct fci_day_uses u = {
        closet, fci_at_end(fci_usual_range(site, FCI_USUAL_WOMAN_CLOSET), end),
        urinal
    };

    if (p->uses_per_day.given) {
        const double all = fci_at_end(p->uses_per_day, end);

        u.women_closet = all;
        u.urinal =
            closet + urinal > 0 ? all * urinal / (closet + urinal) : all / 2;
        u.men_closet = all - u.urinal;
    }
    if (p->closet_uses.given)
        u.men_closet = u.women_closet = fci_at_end(p->closet_uses, end);
    if (p->urinal_uses.given)
        u.urinal = fci_at_end(p->urinal_uses, end);
    if (!m->urinals && !p->closet_uses.given)
        u.men_closet += u.urinal;
    /* closet uses are told as they are where there is nothing else */
    if (!m->urinals && !p->urinal_uses.given)
        u.urinal = 0;
    return u;
}

/* Of a year, by one kind of people. */
static void
add_people(const struct fci_making *m, const fc_people *p,
           const struct fci_corner *c, struct fci_day_uses *sum)
{
    const struct fci_day_uses each = uses_of_each(m, p, c);
    const double days =
        fci_at_end(fci_days_of(m, p->days_per_year), c->at[FCI_DAYS_OF_USE]);
    const int end = c->at[FCI_PEOPLE_COUNTED];
    const double share = 0.5 + 0.5 * c->at[FCI_MEN_AMONG_THEM];
    const double mixed = p->people.given ? fci_at_end(p->people, end) : 0;
    const double men =
        (p->men.given ? fci_at_end(p->men, end) : 0) + share * mixed;
    const double women =
        (p->women.given ? fci_at_end(p->women, end) : 0) + (1 - share) * mixed;

    sum->men_closet += men * each.men_closet * days;
    sum->women_closet += women * each.women_closet * days;
    sum->urinal += men * each.urinal * days;
}

static struct fci_day_uses
all_uses(const struct fci_making *m, const struct fci_corner *c)
{
    const fc_people of_usage = fci_people_of_usage(&m->site->usage);
    struct fci_day_uses sum = { 0, 0, 0 };

    add_people(m, &of_usage, c, &sum);
    for (size_t i = 0; i < m->site->n_parts; i++)
        if (m->site->parts[i].kind == FCI_PEOPLE)
            add_people(m, m->site->parts[i].data, c, &sum);
    return sum;
}

/* ---- Fixtures --------------------------------------------------------- */

double
fci_how_many(const struct fci_fixture *f, const struct fci_corner *c)
{
    const enum fci_unknown counted =
        f->given->uses_per_day.given ? FCI_OWN_COUNTED : FCI_FIXTURES_COUNTED;

    return f->many.given ? fci_at_end(f->many, c->at[counted]) : f->count;
}

static fc_sex
used_by(const struct fci_fixture *f)
{
    return f->kind->used == FCI_USED_AS_URINAL ? FC_MEN : f->given->used_by;
}

void
fci_count_sharing(struct fci_making *m, const struct fci_corner *c)
{
    const fc_site *site = m->site;
    const struct fci_sharing none = { 0 };

    m->sharing = none;

    for (size_t i = 0; i < site->n_fixtures; i++) {
        const struct fci_fixture *f = &site->fixtures[i];
        const double n = f->given->uses_per_day.given ? 0 : fci_how_many(f, c);

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

struct fci_day_uses
fci_left_to_share(const struct fci_making *m, const struct fci_corner *c)
{
    const struct fci_day_uses all = all_uses(m, c);
    const double closets = all.men_closet + all.women_closet;
    const double men = closets > 0 ? all.men_closet / closets : 0.5;
    struct fci_day_uses left = all;

    for (size_t i = 0; i < m->site->n_fixtures; i++) {
        const struct fci_fixture *f = &m->site->fixtures[i];
        double own;

        if (!f->given->uses_per_day.given)
            continue;
        own = fci_how_many(f, c)
              * fci_at_end(f->given->uses_per_day, c->at[FCI_OWN_USES])
              * fci_at_end(m->days, c->at[FCI_DAYS_OF_USE]);
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

double
fci_uses_of(const struct fci_making *m, const struct fci_fixture *f,
            const struct fci_day_uses *left, const struct fci_corner *c)
{
    const struct fci_sharing *s = &m->sharing;
    const double man = part_of(left->men_closet, s->men + s->anyone);
    const double woman = part_of(left->women_closet, s->women + s->anyone);

    if (f->given->uses_per_day.given)
        return fci_at_end(f->given->uses_per_day, c->at[FCI_OWN_USES])
               * fci_at_end(m->days, c->at[FCI_DAYS_OF_USE]);
    if (f->kind->used == FCI_USED_AS_URINAL)
        return part_of(left->urinal, s->urinals);
    if (f->kind->used != FCI_USED_AS_CLOSET)
        return 0;
    return used_by(f) == FC_MEN     ? man
           : used_by(f) == FC_WOMEN ? woman
                                    : man + woman;
}
