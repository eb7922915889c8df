/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/tables/table_entries.c -- the kinds of sections that tables have. */
#include "tables/table_entries.h"

#include <stddef.h>

/* ---- [valve], [minimum], [limit] -------------------------------------- */

static void
read_valve(struct fci_table_reader *r, void *entry)
{
    static const char *const common[] = { "title", "source", "note", "for",
                                          NULL };
    const struct fci_entry *serves =
        fci_section_entry(&r->part->section, "for");
    struct fci_valve_class *class = entry;

    class->serves = serves ? serves->value : NULL;

    fci_table_fields(r, fci_valve_fields, FCI_VALVE_FIELDS, common,
                     &class->valve);
    class->valve.name = class->head.name;
    if (class->valve.reduced_flush.given && class->valve.full_flush.given
        && !(class->valve.reduced_flush.nominal
             < class->valve.full_flush.nominal))
        fci_table_wrong(
            r,
            fci_table_blamed(
                r, fci_section_entry(&r->part->section, "full flush"),
                fci_section_entry(&r->part->section, "reduced flush")),
            "makes the reduced flush no smaller than the full one; a smaller "
            "one is expected");
}

struct pressure_keys {
    fc_range pressure;
};

static const struct fci_field pressure_keys[] = {
    FCI_COMMON_FIELDS,
    FCI_FIGURE_FIELD("pressure", FC_PRESSURE, FCI_POSITIVE,
                     struct pressure_keys, pressure, true),
};

static double
read_pressure(struct fci_table_reader *r)
{
    struct pressure_keys keys = { 0 };

    fci_table_fields(r, pressure_keys, FCI_COUNT_OF(pressure_keys), NULL,
                     &keys);
    return keys.pressure.nominal;
}

static void
read_minimum(struct fci_table_reader *r, void *entry)
{
    struct fci_quoted_minimum *minimum = entry;

    minimum->pressure = read_pressure(r);
}

#define LONGEST_INTERVAL "longest interval"

struct interval_keys {
    fc_range interval;
};

static void
read_limit(struct fci_table_reader *r, void *entry)
{
    static const struct fci_field interval_keys[] = {
        FCI_COMMON_FIELDS,
        FCI_FIGURE_FIELD("interval", FC_TIME, FCI_POSITIVE,
                         struct interval_keys, interval, true),
    };
    struct interval_keys keys = { 0 };
    struct fci_limit *limit = entry;

    if (!fci_same_name(r->part->section.name, LONGEST_INTERVAL)) {
        limit->pressure = read_pressure(r);
        return;
    }
    fci_table_fields(r, interval_keys, FCI_COUNT_OF(interval_keys), NULL,
                     &keys);
    limit->interval = keys.interval.nominal;
}

/* ---- [usual] ----------------------------------------------------------- */

const char *const fci_usual_names[] = {
    [FCI_USUAL_FITTINGS] = "fittings",
    [FCI_USUAL_FALL_OFF] = "prv fall-off",
    [FCI_USUAL_WIDE_OPEN] = "prv wide open",
    [FCI_USUAL_GAUGE] = "gauge",
    [FCI_USUAL_MAIN_DROP] = "main drop",
    [FCI_USUAL_SUCTION] = "pump suction",
    [FCI_USUAL_PRECHARGE] = "tank precharge",
    [FCI_USUAL_BUSY] = "busy period",
    [FCI_USUAL_RUNNING] = "outlet running",
    [FCI_USUAL_RATING] = "pressure rating",
    [FCI_USUAL_CLOSING] = "closing time",
    [FCI_USUAL_RP] = "rp loss",
    [FCI_USUAL_DOUBLE_CHECK] = "double check loss",
    [FCI_USUAL_WOMAN_CLOSET] = "woman closet uses",
    [FCI_USUAL_MAN_CLOSET] = "man closet uses",
    [FCI_USUAL_MAN_URINAL] = "man urinal uses",
    [FCI_USUAL_DAYS] = "days of use",
    [FCI_USUAL_HOURS] = "hours of use",
    [FCI_USUAL_LONG_STAYS] = "long stay share",
    [FCI_USUAL_SENSOR_FLUSHES] = "sensor flushes",
    [FCI_USUAL_HYGIENE] = "hygiene flush",
    [FCI_USUAL_BATTERY] = "battery set",
    [FCI_USUAL_BATTERY_LIFE] = "battery life",
    [FCI_USUAL_STATIC] = "main static",
    [FCI_USUAL_FIRST_FLOOR] = "first floor",
    [FCI_USUAL_STORY] = "story",
    [FCI_USUAL_VALVE_HEIGHT] = "valve height",
    [FCI_USUAL_SERVICE] = "service length",
    [FCI_USUAL_HEADER] = "header length",
    [FCI_USUAL_BRANCH] = "branch length",
    [FCI_USUAL_METER] = "meter",
    [FCI_USUAL_BACKFLOW] = "backflow",
    [FCI_USUAL_METER_KIND] = "meter kind",
    [FCI_USUAL_CLOSETS] = "closets",
    [FCI_USUAL_C] = "c",
    [FCI_USUAL_BALANCED] = "balanced",
    [FCI_USUAL_REFILL] = "refill",
    [FCI_USUAL_LAST_USE] = "last use",
    [FCI_USUALS] = NULL,
};

struct usual_keys {
    fc_range range;
};

/* What is not listed is a plain number. */
static const fc_dimension usual_dimensions[FCI_USUALS] = {
    [FCI_USUAL_FALL_OFF] = FC_PRESSURE, [FCI_USUAL_WIDE_OPEN] = FC_PRESSURE,
    [FCI_USUAL_GAUGE] = FC_PRESSURE,    [FCI_USUAL_MAIN_DROP] = FC_PRESSURE,
    [FCI_USUAL_SUCTION] = FC_PRESSURE,  [FCI_USUAL_RATING] = FC_PRESSURE,
    [FCI_USUAL_RP] = FC_PRESSURE,       [FCI_USUAL_DOUBLE_CHECK] = FC_PRESSURE,
    [FCI_USUAL_STATIC] = FC_PRESSURE,   [FCI_USUAL_METER] = FC_PRESSURE,
    [FCI_USUAL_BACKFLOW] = FC_PRESSURE, [FCI_USUAL_METER_KIND] = FC_PRESSURE,
    [FCI_USUAL_HYGIENE] = FC_TIME,      [FCI_USUAL_FIRST_FLOOR] = FC_LENGTH,
    [FCI_USUAL_STORY] = FC_LENGTH,      [FCI_USUAL_VALVE_HEIGHT] = FC_LENGTH,
    [FCI_USUAL_SERVICE] = FC_LENGTH,    [FCI_USUAL_HEADER] = FC_LENGTH,
    [FCI_USUAL_BRANCH] = FC_LENGTH,     [FCI_USUAL_REFILL] = FC_TIME,
    [FCI_USUAL_CLOSING] = FC_TIME,      [FCI_USUAL_PRECHARGE] = FC_PRESSURE,
    [FCI_USUAL_HOURS] = FC_TIME,        [FCI_USUAL_BATTERY_LIFE] = FC_TIME,
    [FCI_USUAL_BUSY] = FC_TIME,         [FCI_USUAL_LAST_USE] = FC_TIME,
};

/* What is not listed is no less than 0. */
static const enum fci_domain usual_domains[FCI_USUALS] = {
    [FCI_USUAL_LONG_STAYS] = FCI_FRACTION,
    [FCI_USUAL_RUNNING] = FCI_FRACTION,
    [FCI_USUAL_BALANCED] = FCI_FRACTION,
    [FCI_USUAL_HYGIENE] = FCI_POSITIVE,
    [FCI_USUAL_HOURS] = FCI_POSITIVE,
    [FCI_USUAL_BATTERY] = FCI_POSITIVE,
    [FCI_USUAL_BATTERY_LIFE] = FCI_POSITIVE,
    [FCI_USUAL_CLOSING] = FCI_POSITIVE,
    [FCI_USUAL_LAST_USE] = FCI_POSITIVE,
    [FCI_USUAL_BUSY] = FCI_POSITIVE,
    [FCI_USUAL_REFILL] = FCI_POSITIVE,
    [FCI_USUAL_RATING] = FCI_POSITIVE,
};

static void
read_usual(struct fci_table_reader *r, void *entry)
{
    struct fci_field fields[] = {
        FCI_COMMON_FIELDS,
        { FCI_FIELD("range", &fci_range_field, FC_NUMBER, FCI_NOT_NEGATIVE,
                    struct usual_keys, range),
          .required = true },
    };
    struct fci_usual *usual = entry;
    struct usual_keys keys = { 0 };
    size_t name = 0;

    while (!fci_same_name(usual->head.name, fci_usual_names[name]))
        name++;
    usual->dimension = usual_dimensions[name];
    fields[FCI_COUNT_OF(fields) - 1].dimension = usual->dimension;
    if (usual_domains[name] != FCI_ANY)
        fields[FCI_COUNT_OF(fields) - 1].domain = usual_domains[name];
    fci_table_fields(r, fields, FCI_COUNT_OF(fields), NULL, &keys);
    usual->range = keys.range;
    if (name == FCI_USUAL_HYGIENE && usual->range.given
        && usual->range.low < FCI_SHORTEST_IDLE)
        fci_table_wrong(r, NULL,
                        "range is below 1 h; no valve flushes that often, a "
                        "longer time is expected");
}

/* ---- [synonyms], [judgment] --------------------------------------------- */

/* The rows are looked up where no table is read: see ground/synonyms.h. */
static void
read_synonyms(struct fci_table_reader *r, void *entry)
{
    (void)entry;
    if (r->part->amended)
        fci_table_wrong(r, NULL,
                        "cannot be amended; an entry under a name of its own "
                        "is expected, such as [pipe galvanized]");
}

static void
read_judgment(struct fci_table_reader *r, void *entry)
{
    static const struct fci_field keys[] = {
        FCI_COMMON_FIELDS,
        FCI_NAME_FIELD("words", struct fci_judgment, words, true),
        FCI_NAME_FIELD("says", struct fci_judgment, says, true),
    };

    fci_table_fields(r, keys, FCI_COUNT_OF(keys), NULL, entry);
}

/* ---- The kinds -------------------------------------------------------- */

static const char *const demand_names[] = { "ipc", "upc", "nspc", NULL };
static const char *const synonym_names[] = {
    "sections", "keys",  "choices", "materials", "fittings", "fixtures",
    "meters",   "units", "sizes",   "fractions", "inexact",  NULL
};
static const char *const limit_names[] = { "maximum static",
                                           "street main residual",
                                           LONGEST_INTERVAL, NULL };

static const char *const arrester_names[] = { "pdi-wh201", NULL };

const struct fci_table_kind fci_table_kinds[FCI_TABLES] = {
    [FCI_TABLE_PIPE] = { "pipe", sizeof(struct fci_material), NULL,
                         fci_table_read_pipe },
    [FCI_TABLE_FITTINGS] = { "fittings", sizeof(struct fci_fittings), NULL,
                             fci_table_read_fittings },
    [FCI_TABLE_FIXTURE_IPC] = { "fixture ipc", sizeof(struct fci_fixture_kind),
                                NULL, fci_table_read_fixture },
    [FCI_TABLE_FIXTURE_UPC] = { "fixture upc", sizeof(struct fci_fixture_kind),
                                NULL, fci_table_read_fixture },
    [FCI_TABLE_DEMAND] = { "demand", sizeof(struct fci_curve_rows),
                           demand_names, fci_table_read_demand },
    [FCI_TABLE_FALLING] = { "falling", sizeof(struct fci_falling_units),
                            fci_falling_words, fci_table_read_falling },
    [FCI_TABLE_METER] = { "meter", sizeof(struct fci_meter_kind), NULL,
                          fci_table_read_meter },
    [FCI_TABLE_VALVE] = { "valve", sizeof(struct fci_valve_class), NULL,
                          read_valve },
    [FCI_TABLE_MINIMUM] = { "minimum", sizeof(struct fci_quoted_minimum), NULL,
                            read_minimum },
    [FCI_TABLE_LIMIT] = { "limit", sizeof(struct fci_limit), limit_names,
                          read_limit },
    [FCI_TABLE_USUAL] = { "usual", sizeof(struct fci_usual), fci_usual_names,
                          read_usual },
    [FCI_TABLE_FAULT] = { "fault", sizeof(struct fci_usual_fault),
                          fci_fault_names, fci_table_read_fault },
    [FCI_TABLE_ARRESTERS] = { "arresters", sizeof(struct fci_arresters),
                              arrester_names, fci_table_read_arresters },
    [FCI_TABLE_SYNONYMS] = { "synonyms", sizeof(struct fci_entry_head),
                             synonym_names, read_synonyms },
    [FCI_TABLE_JUDGMENT] = { "judgment", sizeof(struct fci_judgment), NULL,
                             read_judgment },
};
