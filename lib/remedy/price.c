/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/price.c -- what a remedy costs, and which costs least.
 *
 * A price that is not given is not known, and never nothing: a remedy that
 * needs it may cost anything from what its other purchases cost.
 */
#include "remedy/remedies.h"

#include <math.h>
#include <string.h>

#define PIPES "pipes"

/* What a lever takes, each by its key of [price]. */
static const struct {
    fc_lever lever;
    enum fci_kind kind; /* of the element; FCI_KINDS: any */
    const char *what;
} goods[] = {
    { FC_RAISE_SOURCE, FCI_KINDS, "source" },
    { FC_RAISE_REDUCER, FCI_KINDS, "prv setting" },
    { FC_LOWER_REDUCER, FCI_KINDS, "prv setting" },
    { FC_ADD_REDUCER, FCI_KINDS, "prv" },
    { FC_RAISE_PUMP, FCI_KINDS, "pump" },
    { FC_ADD_BOOSTER, FCI_KINDS, "booster" },
    { FC_LOWER_LOSS, FCI_METER, "meter" },
    { FC_LOWER_LOSS, FCI_BACKFLOW, "backflow" },
    { FC_LOWER_LOSS, FCI_DEVICE, "device" },
    { FC_LOWER_MINIMUM, FCI_KINDS, "valve" },
    { FC_KEEP_VALVES, FCI_KINDS, "keep valve" },
    { FC_MOVE_FLOORS, FCI_KINDS, "floor" },
    { FC_ADD_RISER, FCI_KINDS, "riser" },
    { FC_THROTTLE_STOPS, FCI_KINDS, "stop" },
};
#define N_GOODS (sizeof goods / sizeof *goods)

/* ---- What is bought --------------------------------------------------- */

bool
fci_has_prices(const struct fci_cures *c)
{
    return fci_price_part(c->site) != NULL;
}

/* Of one; NAN: it is not given. */
static double
price_of(const fc_site *site, const char *what)
{
    const struct fci_part *part = fci_price_part(site);
    const fc_range *price = part ? fci_part_member(part, what) : NULL;

    return price && price->given ? price->nominal : NAN;
}

static bool
add_purchase(const struct fci_cures *c, fc_remedy *told, const char *what,
             double count, double price)
{
    const size_t n = told->n_purchases;
    fc_purchase *grown = fci_arena_array(c->arena, n + 1, sizeof *grown);

    if (!grown)
        return false;
    if (n > 0)
        memcpy(grown, told->purchases, n * sizeof *grown);
    grown[n] = (fc_purchase){ .what = what, .count = count, .price = price };
    told->purchases = grown;
    told->n_purchases = n + 1;
    told->price = n > 0 ? told->price + price : price;
    return true;
}

bool
fci_buy(const struct fci_cures *c, fc_remedy *told, fc_lever lever,
        enum fci_kind kind, double count)
{
    size_t i = 0;

    while (i < N_GOODS
           && (goods[i].lever != lever
               || (goods[i].kind != FCI_KINDS && goods[i].kind != kind)))
        i++;
    return i == N_GOODS
           || add_purchase(c, told, goods[i].what, count,
                           count * price_of(c->site, goods[i].what));
}

bool
fci_buy_again(const struct fci_cures *c, fc_remedy *told,
              const fc_remedy *other)
{
    bool ok = true;
    size_t i;

    for (i = 0; ok && i < other->n_purchases; i++)
        ok =
            add_purchase(c, told, other->purchases[i].what,
                         other->purchases[i].count, other->purchases[i].price);
    return ok;
}

double
fci_count_of(const struct fci_fixture *fixture)
{
    return fixture->given->count > 0 ? fixture->given->count : 1;
}

static enum fci_kind
kind_of(const struct fci_cures *c, const char *subject)
{
    size_t i;

    for (i = 0; subject && i < c->site->n_elements; i++)
        if (strcmp(c->site->elements[i].name, subject) == 0)
            return c->site->elements[i].part->kind;
    return FCI_KINDS;
}

bool
fci_has_pipe_prices(const fc_site *site)
{
    size_t i;

    for (i = 0; i < site->n_parts; i++)
        if (site->parts[i].kind == FCI_PRICES)
            return true;
    return false;
}

static bool
is_bought(const fc_remedy *told, const char *what)
{
    size_t n = told->n_purchases;

    while (n > 0 && strcmp(told->purchases[n - 1].what, what) != 0)
        n--;
    return n > 0;
}

bool
fci_buy_all(const struct fci_cures *c, fc_remedy *told)
{
    if (!told->works)
        return true;
    if (told->n_purchases == 0
        && !fci_buy(c, told, told->lever, kind_of(c, told->subject), 1))
        return false;
    if (told->n_pipes > 0 && !is_bought(told, PIPES))
        return add_purchase(c, told, PIPES, (double)told->n_pipes,
                            fci_has_pipe_prices(c->site) ? told->cost : NAN);
    /* a lever that has no key has no price, rather than none to pay */
    return told->n_purchases > 0
           || add_purchase(c, told, fc_lever_word(told->lever), 1, NAN);
}

/* ---- Which costs least ------------------------------------------------ */

bool
fci_may_be_lowest(const fc_remedy *r)
{
    return r->works && r->reach == FC_IN_REACH && r->too_high == FC_WORKS;
}

/* What is known of its price: it costs no less. */
static double
at_least(const fc_remedy *r)
{
    double sum = 0;
    size_t i;

    for (i = 0; i < r->n_purchases; i++)
        if (!isnan(r->purchases[i].price))
            sum += r->purchases[i].price;
    return sum;
}

static bool
is_listed(const char *const *names, size_t n, const char *name)
{
    while (n > 0 && strcmp(names[n - 1], name) != 0)
        n--;
    return n > 0;
}

/* What could undercut the lowest, were it known. */
static bool
list_unpriced(const struct fci_cures *c, fc_remedies *all, double lowest)
{
    const char **names;
    size_t i, k, n = 0;

    for (i = 0; i < all->n_remedies; i++)
        n += all->remedies[i].n_purchases;
    names = fci_arena_array(c->arena, n + 1, sizeof *names);
    if (!names)
        return false;
    for (i = 0; i < all->n_remedies; i++) {
        const fc_remedy *r = &all->remedies[i];

        if (!fci_may_be_lowest(r) || !isnan(r->price) || at_least(r) >= lowest)
            continue;
        for (k = 0; k < r->n_purchases; k++)
            if (isnan(r->purchases[k].price)
                && !is_listed(names, all->n_unpriced, r->purchases[k].what))
                names[all->n_unpriced++] = r->purchases[k].what;
    }
    all->unpriced = names;
    return true;
}

bool
fci_name_lowest(const struct fci_cures *c, fc_remedies *all)
{
    double lowest = INFINITY;
    size_t i;

    all->lowest = SIZE_MAX;
    all->priced =
        fci_price_part(c->site) != NULL || fci_has_pipe_prices(c->site);
    if (!all->priced)
        return true;
    for (i = 0; i < all->n_remedies; i++)
        if (fci_may_be_lowest(&all->remedies[i])
            && all->remedies[i].price < lowest) {
            lowest = all->remedies[i].price;
            all->lowest = i;
        }
    return list_unpriced(c, all, lowest);
}
