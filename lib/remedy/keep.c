/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/keep.c -- existing valves that stay where others are converted.
 */
#include "remedy/remedies.h"

#include <string.h>

#define MOST_TRIED 40u /* fixtures, each left out of those kept */

struct keeping {
    struct fci_cures *c;
    bool *kept; /* by fixture */
    const char **names;
    size_t n;
};

static bool
keep_changes(const struct keeping *k, struct fci_change_list *list)
{
    size_t i;

    for (i = 0; i < k->c->site->n_fixtures; i++)
        if (k->kept[i]
            && !fci_change_add(list, FCI_FIXTURE,
                               k->c->site->fixtures[i].given->name, "retrofit",
                               NULL))
            return false;
    return true;
}

/* Where all works as it is given, too much pressure is what is to be cured: a
 * valve in place may bear more than the new one. */
static bool
against_excess(const struct keeping *k)
{
    return k->c->check->works == FC_WORKS;
}

/* Those that are not served and could be kept are; *more: there were any. */
static void
keep_short(struct keeping *k, const struct fci_verdicts *verdicts, bool *more)
{
    size_t i;

    for (i = 0; i < k->c->site->n_fixtures; i++) {
        const bool lacks =
            verdicts->fixtures[i] != FC_WORKS
            || (against_excess(k) && verdicts->over[i] > FCI_SAME_PRESSURE);

        if (!lacks || k->kept[i] || !k->c->site->fixtures[i].converted)
            continue;
        k->kept[i] = true;
        k->names[k->n++] = k->c->site->fixtures[i].given->name;
        *more = true;
    }
}

/* One round; *more: there are further ones to keep. */
static fc_status
keep_round(struct keeping *k, const fc_check_options *options, bool *works,
           bool *more)
{
    struct fci_change_list list = { 0 };
    struct fci_trial trial = { 0 };
    fc_status status = keep_changes(k, &list) ? FC_OK : FC_ENOMEM;

    *more = false;
    if (status == FC_OK)
        status =
            fci_trial_make(&trial, k->c->site, &list, options, k->c->messages);
    *works = status == FC_OK && fci_cure_holds(k->c, &trial.verdicts)
             && (!against_excess(k) || trial.verdicts.too_high == FC_WORKS);
    if (status == FC_OK && !*works)
        keep_short(k, &trial.verdicts, more);
    fci_trial_free(&trial);
    fci_change_list_free(&list);
    return status;
}

/* Round by round, as valves kept draw otherwise than those that replace them;
 * first at peak, then in the flush events too.  With all kept nothing is
 * changed. */
static fc_status
keep_until_it_works(struct keeping *k, bool *works)
{
    const fc_check_options peak = { .peak_only = true };
    fc_status status = FC_OK;
    bool more = true;

    *works = false;
    while (status == FC_OK && !*works && more)
        status = keep_round(k, &peak, works, &more);
    if (status != FC_OK || !*works)
        return status;
    do
        status = keep_round(k, &k->c->options->check, works, &more);
    while (status == FC_OK && !*works && more);
    return status;
}

/* The building with those kept, at peak and then in the flush events. */
static fc_status
check_kept(const struct keeping *k, bool *works)
{
    struct fci_change_list list = { 0 };
    fc_status status = keep_changes(k, &list) ? FC_OK : FC_ENOMEM;

    if (status == FC_OK)
        status = against_excess(k) ? fci_cure_bears(k->c, &list, works, NULL)
                                   : fci_cure_check(k->c, &list, works, NULL);

    fci_change_list_free(&list);
    return status;
}

/* A fixture that was short may have been so for the sake of another, which is
 * kept now: those that need not be are not.  *dropped: there were any. */
static fc_status
drop_needless(struct keeping *k, bool *dropped)
{
    fc_status status = FC_OK;
    bool works;
    size_t i;

    *dropped = false;
    for (i = 0; i < k->c->site->n_fixtures && status == FC_OK; i++) {
        if (!k->kept[i])
            continue;
        k->kept[i] = false;
        status = check_kept(k, &works);
        k->kept[i] = status != FC_OK || !works;
        *dropped = *dropped || !k->kept[i];
    }
    return status;
}

/* As each takes a check, only where they are few. */
static fc_status
keep_no_more_than_needed(struct keeping *k)
{
    fc_status status = FC_OK;
    bool dropped = k->n > 1 && k->n <= MOST_TRIED;
    size_t i;

    while (dropped && status == FC_OK)
        status = drop_needless(k, &dropped);
    k->n = 0;
    for (i = 0; i < k->c->site->n_fixtures; i++)
        if (k->kept[i])
            k->names[k->n++] = k->c->site->fixtures[i].given->name;
    return status;
}

static size_t
count_converted(const fc_site *site)
{
    size_t i, n = 0;

    for (i = 0; i < site->n_fixtures; i++)
        n += site->fixtures[i].converted;
    return n;
}

static double
count_kept(const struct keeping *k)
{
    double n = 0;
    size_t i;

    for (i = 0; i < k->c->site->n_fixtures; i++)
        if (k->kept[i])
            n += fci_count_of(&k->c->site->fixtures[i]);
    return n;
}

static fc_status
tell_kept(const struct keeping *k, bool works)
{
    struct fci_cures *c = k->c;
    fc_remedy told = fci_remedy_of(FC_KEEP_VALVES, NULL, FC_NUMBER);
    struct fci_change_list list = { 0 };
    const char *names = fci_join_names(c, k->names, k->n);

    told.works = works && k->n < count_converted(c->site);
    told.subject = names;
    if (told.works
        && !fci_buy(c, &told, FC_KEEP_VALVES, FCI_VALVE, count_kept(k)))
        return FC_ENOMEM;
    if (names && works && !told.works)
        told.text = fci_arena_string(
            c->arena,
            "The building works only with all existing valves kept.");
    else if (names)
        told.text =
            works ? fci_arena_printf(
                c->arena,
                "Keep the existing valves of %s and convert the others.",
                names)
                  : fci_arena_printf(
                      c->arena,
                      "Keeping existing valves does not help: with those of "
                      "%s kept some fixture still fails.",
                      k->n > 0 ? names : "none");
    if (told.works && !keep_changes(k, &list)) {
        fci_change_list_free(&list);
        return FC_ENOMEM;
    }
    return fci_cure_add(c, &told, &list) ? FC_OK : FC_ENOMEM;
}

fc_status
fci_cure_keep(struct fci_cures *c)
{
    const size_t n = c->site->n_fixtures;
    struct keeping k = { c, fci_arena_array(c->arena, n + 1, sizeof *k.kept),
                         fci_arena_array(c->arena, n + 1, sizeof *k.names),
                         0 };
    fc_status status;
    bool works;

    if (!k.kept || !k.names)
        return FC_ENOMEM;
    status = keep_until_it_works(&k, &works);
    if (status == FC_OK && works)
        status = keep_no_more_than_needed(&k);
    return status == FC_OK ? tell_kept(&k, works) : status;
}
