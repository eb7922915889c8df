/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/verify/basis.c -- what the figures of claims rest on: how the peak is
 * taken, amended tables, tolerances.
 */
#include "peak/flush_time.h"
#include "units/units.h"
#include "verify/verify.h"
#include "words/phrase.h"

#define MOST_BASES 4

struct bases {
    const struct fci_verify *v;
    fc_basis *list;
    size_t n;
};

static void
add(struct bases *b, const char *what, const char *text)
{
    if (text)
        b->list[b->n++] = (fc_basis){ what, text };
}

static void
add_peak(struct bases *b)
{
    const fc_settings *s = &b->v->site->settings;
    const char *code = s->code == FC_IPC ? "IPC" : "UPC";

    add(b, "Peak demand",
        s->peak == FC_PROBABILITY
            ? fci_arena_printf(b->v->arena,
                               "by probability, not by the fixture units of "
                               "the %s",
                               code)
            : fci_arena_printf(b->v->arena, "by the fixture units of the %s",
                               code));
}

/* From the shortest to the longest of the valves; by which a peak by
 * probability stands. */
static void
add_interval(struct bases *b)
{
    const fc_site *site = b->v->site;
    fc_range minutes = { false, 0, 0, 0 };
    bool assumed = false;
    size_t i;

    for (i = 0; i < site->n_fixtures; i++) {
        struct fci_busy busy;

        if (!site->fixtures[i].kind->flushes)
            continue;
        busy =
            fci_valve_busy(site, &site->fixtures[i], FC_EXISTING, FCI_NOMINAL);
        assumed |= busy.from == FCI_OF_DEFAULT;
        if (!minutes.given)
            minutes = fc_exactly(busy.interval / 60);
        minutes.low = busy.interval / 60 < minutes.low ? busy.interval / 60
                                                       : minutes.low;
        minutes.high = busy.interval / 60 > minutes.high ? busy.interval / 60
                                                         : minutes.high;
    }
    if (!minutes.given || site->settings.peak != FC_PROBABILITY)
        return;
    add(b, "Interval",
        minutes.low < minutes.high
            ? fci_arena_printf(b->v->arena,
                               "%.4g to %.4g min between two uses of a flush "
                               "valve%s",
                               minutes.low, minutes.high,
                               assumed ? ", some of them assumed" : "")
            : fci_arena_printf(
                b->v->arena, "%.4g min between two uses of a flush valve%s",
                minutes.low, assumed ? ", assumed (common practice)" : ""));
}

static void
add_tables(struct bases *b)
{
    const struct fci_tables *tables = b->v->site->tables;
    const size_t n = fci_tables_count(tables);
    struct fci_words words = { b->v->arena, "", 0 };
    size_t i;

    for (i = 0; i < n; i++) {
        bool amended;
        const struct fci_section *section =
            fci_tables_section(tables, i, &amended);

        if (amended)
            fci_say(&words, ", ", "[%s %s]", section->kind, section->name);
    }
    add(b, "Tables",
        words.n > 0 ? fci_arena_printf(b->v->arena, "amended by %s: %s",
                                       b->v->site->settings.tables, words.text)
                    : "the built-in ones, not amended");
}

static void
say_deviation(struct bases *b, struct fci_words *words, const char *what,
              fc_dimension dimension, fc_deviation d)
{
    if (d.given && d.is_fraction)
        fci_say(words, ", ", "%s %.4g%%", what, 100 * d.amount);
    else if (d.given)
        fci_say(
            words, ", ", "%s %s", what,
            fci_show(b->v->site->settings.units, dimension, d.amount).text);
}

static void
add_tolerance(struct bases *b)
{
    const fc_tolerance *t = &b->v->site->tolerance;
    struct fci_words words = { b->v->arena, "", 0 };

    say_deviation(b, &words, "pressure", FC_PRESSURE, t->pressure);
    say_deviation(b, &words, "length", FC_LENGTH, t->length);
    say_deviation(b, &words, "elevation", FC_LENGTH, t->elevation);
    say_deviation(b, &words, "C", FC_NUMBER, t->c);
    say_deviation(b, &words, "flow test", FC_FLOW, t->flow_test);
    add(b, "Tolerances",
        words.n > 0 ? words.text : "none: single figures are taken as exact");
}

fc_status
fci_verify_basis(const struct fci_verify *v, fc_verify_result *result)
{
    struct bases b = { v,
                       fci_arena_array(v->arena, MOST_BASES, sizeof *b.list),
                       0 };

    if (!b.list)
        return FC_ENOMEM;
    add_peak(&b);
    add_interval(&b);
    add_tables(&b);
    add_tolerance(&b);
    result->basis = b.list;
    result->n_basis = b.n;
    result->tables = v->site->tables_path;
    return v->arena->failed ? FC_ENOMEM : FC_OK;
}
