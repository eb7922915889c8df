/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/tables/table_fixtures.c -- fixtures and what their units come to. */
#include "tables/table_entries.h"
#include "units/units.h"

#include <math.h>
#include <string.h>

/* ---- [fixture] -------------------------------------------------------- */

struct fixture_keys {
    const char *units_source, *pressure_source, *quoted_source;
    const char *supply_source, *valve;
    fc_range over, pressure, flow, quoted_pressure, supply_size;
    fc_range cold_share, hot_share;
    fc_range usual_flush, usual_rate;
    fc_range outlet_rate, outlet_pressure;
    fc_answer flushes, mixes, balanced, emergency;
    int falling, used;
};

const char *const fci_falling_words[] = { "closet", "urinal", NULL };

static const struct fci_field fixture_keys[] = {
    FCI_COMMON_FIELDS,
    FCI_SKIP_FIELD("public"),
    FCI_SKIP_FIELD("private"),
    FCI_SKIP_FIELD("assembly"),
    FCI_SKIP_FIELD("public above"),
    FCI_SKIP_FIELD("private above"),
    FCI_SKIP_FIELD("assembly above"),
    FCI_FIGURE_FIELD("volume", FC_VOLUME, FCI_POSITIVE, struct fixture_keys,
                     over, false),
    FCI_FIGURE_FIELD("cold share", FC_NUMBER, FCI_FRACTION,
                     struct fixture_keys, cold_share, false),
    FCI_FIGURE_FIELD("hot share", FC_NUMBER, FCI_FRACTION, struct fixture_keys,
                     hot_share, false),
    FCI_SKIP_FIELD("share source"),
    FCI_TEXT_FIELD("units source", struct fixture_keys, units_source),
    FCI_FIGURE_FIELD("pressure", FC_PRESSURE, FCI_POSITIVE,
                     struct fixture_keys, pressure, false),
    FCI_FIGURE_FIELD("flow", FC_FLOW, FCI_POSITIVE, struct fixture_keys, flow,
                     false),
    FCI_TEXT_FIELD("pressure source", struct fixture_keys, pressure_source),
    FCI_FIGURE_FIELD("quoted pressure", FC_PRESSURE, FCI_POSITIVE,
                     struct fixture_keys, quoted_pressure, false),
    FCI_TEXT_FIELD("quoted source", struct fixture_keys, quoted_source),
    FCI_FIGURE_FIELD("supply size", FC_SIZE, FCI_POSITIVE, struct fixture_keys,
                     supply_size, false),
    FCI_TEXT_FIELD("supply source", struct fixture_keys, supply_source),
    { FCI_FIELD("outlet", &fci_figure_at_field, FC_FLOW, FCI_POSITIVE,
                struct fixture_keys, outlet_rate),
      .second = offsetof(struct fixture_keys, outlet_pressure),
      .second_dimension = FC_PRESSURE },
    FCI_SKIP_FIELD("outlet source"),
    FCI_NAME_FIELD("valve", struct fixture_keys, valve, false),
    FCI_SKIP_FIELD("valve source"),
    { FCI_FIELD("usual flush", &fci_range_field, FC_VOLUME, FCI_POSITIVE,
                struct fixture_keys, usual_flush) },
    { FCI_FIELD("usual rate", &fci_range_field, FC_FLOW, FCI_POSITIVE,
                struct fixture_keys, usual_rate) },
    FCI_SKIP_FIELD("usual source"),
    { FCI_FIELD("flushes", &fci_yes_no_field, FC_NUMBER, FCI_ANY,
                struct fixture_keys, flushes) },
    { FCI_FIELD("falls as", &fci_choice_field, FC_NUMBER, FCI_ANY,
                struct fixture_keys, falling),
      .choices = fci_falling_words, .second = FCI_FALLING_CLOSET },
    { FCI_FIELD("used as", &fci_choice_field, FC_NUMBER, FCI_ANY,
                struct fixture_keys, used),
      .choices = fci_falling_words, .second = FCI_USED_AS_CLOSET },
    { FCI_FIELD("mixes", &fci_yes_no_field, FC_NUMBER, FCI_ANY,
                struct fixture_keys, mixes) },
    { FCI_FIELD("balanced", &fci_yes_no_field, FC_NUMBER, FCI_ANY,
                struct fixture_keys, balanced) },
    { FCI_FIELD("emergency", &fci_yes_no_field, FC_NUMBER, FCI_ANY,
                struct fixture_keys, emergency) },
};

/* "1.5 cold, 1.5 hot, 2.0 total"; a number alone is the total, of which cold
 * and hot water take their shares. */
static bool
read_units(const char *list, double cold_share, double hot_share,
           struct fci_units_of_use *units)
{
    static const char *const words[] = { "total", "cold", "hot" };
    double values[3] = { -1, -1, -1 }, number;
    const char *text;
    char item[40];
    size_t k;

    while (fci_table_next_item(&list, item, sizeof item)) {
        text = item;
        if (!fci_read_number(&text, &number) || !(number >= 0)
            || number > fci_largest(FC_NUMBER))
            return false;
        while (*text == ' ')
            text++;
        for (k = 0; k < 3; k++)
            if (strcmp(text, words[k]) == 0 || (k == 0 && !*text))
                break;
        if (k == 3 || values[k] >= 0)
            return false;
        values[k] = number;
    }
    units->total = values[0];
    if (values[1] < 0 && values[2] < 0) {
        units->cold = values[0] * cold_share;
        units->hot = values[0] * hot_share;
    } else {
        units->cold = values[1] < 0 ? 0 : values[1];
        units->hot = values[2] < 0 ? 0 : values[2];
    }
    /* what both bring in is at least the larger and at most the sum */
    units->given = units->total > 0 && units->cold <= units->total
                   && units->hot <= units->total
                   && units->cold + units->hot >= units->total * (1 - 1e-9);
    return units->given;
}

static void
read_use(struct fci_table_reader *r, const char *key,
         const struct fixture_keys *keys, struct fci_units_of_use *units)
{
    const struct fci_entry *entry = fci_section_entry(&r->part->section, key);

    if (entry
        && !read_units(entry->value,
                       keys->cold_share.given ? keys->cold_share.nominal : 1,
                       keys->hot_share.given ? keys->hot_share.nominal : 0,
                       units))
        fci_table_wrong_value(r, entry,
                              "a number of fixture units, such as 8 or 1.5 "
                              "cold, 1.5 hot, 2.0 total,");
}

static void
check_volume(struct fci_table_reader *r, const struct fixture_keys *keys,
             const struct fci_fixture_kind *kind)
{
    const struct fci_entry *volume =
        fci_section_entry(&r->part->section, "volume");

    if (volume && keys->over.given && !kind->units_above[0].given
        && !kind->units_above[1].given && !kind->units_above[2].given)
        fci_table_wrong(r, volume,
                        "divides no units; \"public above\" or the like is "
                        "needed");
}

static void
read_uses(struct fci_table_reader *r, const struct fixture_keys *keys,
          struct fci_fixture_kind *kind)
{
    static const char *const words[3][2] = {
        [FC_PUBLIC] = { "public", "public above" },
        [FC_PRIVATE] = { "private", "private above" },
        [FC_ASSEMBLY] = { "assembly", "assembly above" },
    };
    size_t i;

    for (i = 0; i < 3; i++) {
        const struct fci_entry *above =
            fci_section_entry(&r->part->section, words[i][1]);

        read_use(r, words[i][0], keys, &kind->units[i]);
        read_use(r, words[i][1], keys, &kind->units_above[i]);
        if (above && !keys->over.given)
            fci_table_wrong(r, above,
                            "tells no volume; \"volume\", a flush volume, is "
                            "needed");
        if (above && !fci_section_entry(&r->part->section, words[i][0]))
            fci_table_wrong(r, above, "is given alone; \"%s\" is needed",
                            words[i][0]);
    }
}

/* Where the code counts both hot and cold water somebody may mix them. */
static bool
takes_both(const struct fci_fixture_kind *kind)
{
    size_t use;

    for (use = 0; use < 3; use++)
        if (kind->units[use].given && kind->units[use].hot > 0
            && kind->units[use].cold > 0)
            return true;
    return false;
}

static double
or_nan(fc_range value)
{
    return value.given ? value.nominal : (double)NAN;
}

/* The code's least at the outlet is what it is designed for, where nothing
 * else is said of it. */
static void
read_outlet(struct fci_table_reader *r, const struct fixture_keys *keys,
            struct fci_fixture_kind *kind)
{
    if (kind->flushes && keys->outlet_rate.given)
        fci_table_wrong(r, fci_section_entry(&r->part->section, "outlet"),
                        "is given with a flush valve, which has a \"flow\" of "
                        "its own; \"flushes = no\" is expected with it");
    if (kind->flushes)
        return;
    if (keys->outlet_rate.given) {
        kind->outlet_rate = keys->outlet_rate;
        kind->outlet_pressure = keys->outlet_pressure;
    } else if (keys->flow.given && keys->pressure.given) {
        kind->outlet_rate = keys->flow;
        kind->outlet_pressure = keys->pressure;
    }
}

void
fci_table_read_fixture(struct fci_table_reader *r, void *entry)
{
    struct fci_fixture_kind *kind = entry;
    struct fixture_keys keys = { 0 };
    const char *source = kind->head.source;

    fci_table_fields(r, fixture_keys, FCI_COUNT_OF(fixture_keys), NULL, &keys);
    read_uses(r, &keys, kind);
    check_volume(r, &keys, kind);
    kind->over = keys.over.given ? keys.over.nominal : 0;
    kind->flushes = keys.flushes == FC_YES;
    kind->pressure = or_nan(keys.pressure);
    kind->flow = or_nan(keys.flow);
    kind->quoted_pressure = or_nan(keys.quoted_pressure);
    kind->supply_size = or_nan(keys.supply_size);
    kind->units_source = keys.units_source ? keys.units_source : source;
    kind->pressure_source =
        keys.pressure_source ? keys.pressure_source : source;
    kind->quoted_source = keys.quoted_source ? keys.quoted_source : source;
    kind->supply_source = keys.supply_source ? keys.supply_source : source;
    kind->valve = keys.valve;
    kind->usual_flush = keys.usual_flush;
    kind->usual_rate = keys.usual_rate;
    kind->falling = (enum fci_falling)keys.falling;
    kind->used = (enum fci_used)keys.used;
    kind->mixes = keys.mixes == FC_YES || (!keys.mixes && takes_both(kind));
    kind->balanced = keys.balanced == FC_YES;
    kind->emergency = keys.emergency == FC_YES;
    read_outlet(r, &keys, kind);
    if (kind->flushes && !kind->valve)
        fci_table_wrong(r, NULL,
                        "flushes but lacks \"valve\"; the valve class taken "
                        "where none is named is needed");
    if (keys.balanced && !kind->mixes)
        fci_table_wrong(r, fci_section_entry(&r->part->section, "balanced"),
                        "is given for a fixture that mixes no hot and cold "
                        "water; \"mixes = yes\" is expected with it");
    if (!kind->flushes && kind->valve)
        fci_table_wrong_value(r, fci_section_entry(&r->part->section, "valve"),
                              "a valve only beside flushes = yes");
}

/* ---- [demand] and [falling] ------------------------------------------- */

struct demand_keys {
    const char *use;
};

static const struct fci_field demand_keys[] = {
    FCI_COMMON_FIELDS,
    FCI_NAME_FIELD("use", struct demand_keys, use, false),
    FCI_SKIP_FIELD("tank checked"),
    FCI_SKIP_FIELD("valve checked"),
};

/* A column may begin with dashes; then it must not fall, so that more units
 * never ask for less. */
static void
check_column(struct fci_table_reader *r, const struct fci_table_row *rows,
             size_t n, const double *column, const char *word)
{
    size_t i, last = n;

    for (i = 0; i < n; i++) {
        if (last < n && !(column[i] >= column[last])) {
            const struct fci_entry *blamed =
                fci_table_blamed(r, rows[last].entry, rows[i].entry);

            fci_table_wrong(
                r, blamed,
                "has a %s flow out of step with \"%.40s\"; flows that do not "
                "fall, with no dash after the first, are expected",
                word,
                blamed == rows[i].entry ? rows[last].entry->key
                                        : rows[i].entry->key);
            return;
        }
        if (!isnan(column[i]))
            last = i;
    }
    if (last == n)
        fci_table_wrong(r, NULL, "has no %s flows; at least one is needed",
                        word);
}

static bool
read_flows(struct fci_table_reader *r, const struct fci_entry *entry,
           double *tank, double *valve)
{
    const char *list = entry->value;
    double *flows[2] = { tank, valve };
    struct fci_reason why;
    char item[80];
    size_t i;

    for (i = 0; fci_table_next_item(&list, item, sizeof item); i++) {
        if (i > 1)
            break;
        if (!fci_table_figure_or_dash(item, FC_FLOW, flows[i], &why)) {
            fci_table_wrong(r, entry, "%s", why.text);
            return false;
        }
        if (*flows[i] < fci_least(FC_FLOW))
            break;
    }
    if (i == 2)
        return true;
    fci_table_wrong_value(
        r, entry,
        "a flow above 0, or a dash, for flush tanks and another for "
        "flush valves, such as 14.6 gpm, 27.0 gpm,");
    return false;
}

/* Rows beside `use`, which takes those of another table, would be lost. */
static void
refuse_own_rows(struct fci_table_reader *r, const struct fci_table_row *rows,
                size_t n)
{
    const struct fci_entry *entries = r->part->section.entries;
    size_t i;

    for (i = 0; i < n; i++)
        if (r->part->paths[rows[i].entry - entries] == r->part->path) {
            fci_table_wrong(r, rows[i].entry,
                            "is given with \"use\"; either rows or another "
                            "table to use are expected");
            return;
        }
}

void
fci_table_read_demand(struct fci_table_reader *r, void *entry)
{
    struct fci_curve_rows *curve = entry;
    struct demand_keys keys = { 0 };
    struct fci_table_row *rows;
    bool whole = true;
    size_t i, n;

    fci_table_fields(r, demand_keys, FCI_COUNT_OF(demand_keys), NULL, &keys);
    rows = fci_table_rows(r, FC_NUMBER, &n);
    if (!rows)
        return;
    if (keys.use)
        refuse_own_rows(r, rows, n);
    curve->units = fci_table_array(r, n, sizeof *curve->units);
    curve->tank = fci_table_array(r, n, sizeof *curve->tank);
    curve->valve = fci_table_array(r, n, sizeof *curve->valve);
    if (!curve->units || !curve->tank || !curve->valve)
        return;
    curve->n = n;
    for (i = 0; i < n; i++) {
        curve->units[i] = rows[i].place;
        if (!read_flows(r, rows[i].entry, &curve->tank[i], &curve->valve[i]))
            whole = false;
    }
    if (!whole)
        return;
    check_column(r, rows, n, curve->tank, "tank");
    check_column(r, rows, n, curve->valve, "valve");
}

struct falling_keys {
    fc_range further;
};

static const struct fci_field falling_keys[] = {
    FCI_COMMON_FIELDS,
    FCI_FIGURE_FIELD("further", FC_NUMBER, FCI_NOT_NEGATIVE,
                     struct falling_keys, further, true),
};

void
fci_table_read_falling(struct fci_table_reader *r, void *entry)
{
    struct fci_falling_units *falling = entry;
    struct falling_keys keys = { 0 };
    struct fci_reason why;
    struct fci_table_row *rows;
    fc_range units;
    size_t i, n;

    fci_table_fields(r, falling_keys, FCI_COUNT_OF(falling_keys), NULL, &keys);
    falling->further = keys.further.nominal;
    rows = fci_table_rows(r, FC_NUMBER, &n);
    if (!rows)
        return;
    falling->cumulative = fci_table_array(r, n, sizeof *falling->cumulative);
    if (!falling->cumulative)
        return;
    falling->n = n;
    for (i = 0; i < n; i++) {
        if (rows[i].place < (double)i + 1 || rows[i].place > (double)i + 1)
            fci_table_wrong(r, rows[i].entry,
                            "is not the next number of valves; %zu is "
                            "expected",
                            i + 1);
        else if (!fci_read_figure(rows[i].entry->value, FC_NUMBER, false,
                                  &units, &why))
            fci_table_wrong(r, rows[i].entry, "%s", why.text);
        else if (!(units.nominal > (i ? falling->cumulative[i - 1] : 0.0)
                   && units.nominal <= fci_largest(FC_NUMBER)))
            fci_table_wrong_value(r, rows[i].entry,
                                  "more units than for one valve less");
        else
            falling->cumulative[i] = units.nominal;
    }
}
