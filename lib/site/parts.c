/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/parts.c -- the keys of every kind of section, and copying a part.
 */
#include "site/parts.h"
#include "ini/field_rows.h"
#include "ini/field_type.h"
#include "tables/tables.h"

#include <stdarg.h>
#include <string.h>

static const char *const units_words[] = { "us", "si", NULL };
static const char *const code_words[] = { "ipc", "upc", NULL };
static const char *const peak_words[] = { "fixture units", "probability",
                                          NULL };
static const char *const reading_words[] = { "next row", "interpolate", NULL };
static const char *const stock_words[] = { "stock", "all", NULL };
static const char *const condition_words[] = { "new", "aged", NULL };
static const char *const source_words[] = { "street main", "tank", "fixed",
                                            "well", NULL };
static const char *const use_words[] = { "public", "private", "assembly",
                                         NULL };
static const char *const sex_words[] = { "men", "women", NULL };
static const char *const state_words[] = { "existing", "retrofit", NULL };
static const char *const preventer_words[] = { "rp", "double check", NULL };
const char *const fci_sight_words[] = { "open",  "shut",  "clean", "clogged",
                                        "turns", "still", NULL };

static const struct fci_field site_fields[] = {
    TEXT("title", fc_settings, title),
    TEXT("project number", fc_settings, project_number),
    TEXT("address", fc_settings, address),
    TEXT("prepared by", fc_settings, prepared_by),
    TEXT("checked by", fc_settings, checked_by),
    TEXT("revision", fc_settings, revision),
    TEXT("date", fc_settings, date),
    CHOICE("units", units_words, FC_US, fc_settings, units),
    CHOICE("code", code_words, FC_IPC, fc_settings, code),
    YES_NO("code minimum", fc_settings, code_minimum),
    CHOICE("peak", peak_words, FC_FIXTURE_UNITS, fc_settings, peak),
    CHOICE("demand", reading_words, FC_NEXT_ROW, fc_settings, demand),
    NAME("material", fc_settings, material),
    CHOICE("sizes", stock_words, FC_STOCK_SIZES, fc_settings, sizes),
    CHOICE("condition", condition_words, FC_NEW, fc_settings, condition),
    FIGURE("water temperature", FC_TEMPERATURE, FCI_ANY, fc_settings,
           water_temperature),
    FIGURE("maximum static", FC_PRESSURE, FCI_POSITIVE, fc_settings,
           maximum_static),
    FIGURE("velocity limit", FC_VELOCITY, FCI_POSITIVE, fc_settings,
           velocity_limit),
    FIGURE("reserve", FC_PRESSURE, FCI_NOT_NEGATIVE, fc_settings, reserve),
    TEXT("tables", fc_settings, tables),
};

#define HEIGHT(k, s, f, g)                                                    \
    {                                                                         \
        KEY(k, &fci_height_field, FC_LENGTH, FCI_ANY, s, f),                  \
            .second = offsetof(s, g)                                          \
    }

static const struct fci_field source_fields[] = {
    { KEY("kind", &fci_choice_field, FC_NUMBER, FCI_ANY, fc_source, kind),
      .choices = source_words, .second = FC_STREET_MAIN, .required = true },
    RANGE("static", FC_PRESSURE, FCI_ANY, fc_source, static_pressure),
    RANGE("residual", FC_PRESSURE, FCI_ANY, fc_source, residual),
    RANGE("residual flow", FC_FLOW, FCI_POSITIVE, fc_source, residual_flow),
    RANGE("water level", FC_LENGTH, FCI_ANY, fc_source, water_level),
    RANGE("pressure", FC_PRESSURE, FCI_ANY, fc_source, pressure),
    RANGE("elevation", FC_LENGTH, FCI_ANY, fc_source, elevation),
    { KEY("flow test", &fci_flow_test_field, FC_PRESSURE, FCI_ANY, fc_source,
          flow_test),
      .second = offsetof(fc_source, n_flow_test),
      .second_dimension = FC_FLOW },
    RANGE("test static", FC_PRESSURE, FCI_ANY, fc_source, test_static),
    FIGURE("within", FC_PRESSURE, FCI_NOT_NEGATIVE, fc_source, within),
    NAME("gauge", fc_source, gauge),
    RANGE("rate", FC_FLOW, FCI_POSITIVE, fc_source, rate),
    RANGE("volume", FC_VOLUME, FCI_POSITIVE, fc_source, volume),
};

static const struct fci_field pipe_fields[] = {
    NEEDED_NAME("from", fc_pipe, from),
    NAME("to", fc_pipe, to),
    NAME("material", fc_pipe, material),
    { KEY("size", &fci_size_or_choose_field, FC_SIZE, FCI_POSITIVE, fc_pipe,
          size),
      .second = offsetof(fc_pipe, choose_size) },
    NEEDED_RANGE("length", FC_LENGTH, FCI_NOT_NEGATIVE, fc_pipe, length),
    RANGE("rise", FC_LENGTH, FCI_ANY, fc_pipe, rise),
    HEIGHT("elevation", fc_pipe, elevation, floor),
    LIST("fittings", &fci_fittings_field, fc_pipe, fittings, n_fittings),
    CHOICE("condition", condition_words, FC_NEW, fc_pipe, condition),
    RANGE("c", FC_NUMBER, FCI_POSITIVE, fc_pipe, c),
    RANGE("inside diameter", FC_LENGTH, FCI_POSITIVE, fc_pipe,
          inside_diameter),
    FIGURE("velocity limit", FC_VELOCITY, FCI_POSITIVE, fc_pipe,
           velocity_limit),
    YES_NO("gauge", fc_pipe, gauge_fits),
    FIGURE("pressure rating", FC_PRESSURE, FCI_POSITIVE, fc_pipe,
           pressure_rating),
    CHOICE("arrester", fci_arrester_words, FC_ARRESTER_AA, fc_pipe, arrester),
};

#define DEVICE_FIELDS                                                         \
    NEEDED_NAME("from", fc_device, from),                                     \
        RANGE("rise", FC_LENGTH, FCI_ANY, fc_device, rise),                   \
        HEIGHT("elevation", fc_device, elevation, floor),                     \
        YES_NO("gauge", fc_device, gauge_fits),                               \
        FIGURE("pressure rating", FC_PRESSURE, FCI_POSITIVE, fc_device,       \
               pressure_rating),                                              \
        DIPPING_LOSS("loss", fc_device, loss)

static const struct fci_field meter_fields[] = {
    DEVICE_FIELDS,
    NAME("kind", fc_device, meter_kind),
    FIGURE("size", FC_SIZE, FCI_POSITIVE, fc_device, size),
};

static const struct fci_field device_fields[] = { DEVICE_FIELDS };

static const struct fci_field backflow_fields[] = {
    NEEDED_NAME("from", fc_device, from),
    { KEY("kind", &fci_choice_field, FC_NUMBER, FCI_ANY, fc_device, preventer),
      .choices = preventer_words, .second = FC_RP },
    RANGE("rise", FC_LENGTH, FCI_ANY, fc_device, rise),
    HEIGHT("elevation", fc_device, elevation, floor),
    DIPPING_LOSS("loss", fc_device, loss),
    YES_NO("gauge", fc_device, gauge_fits),
    FIGURE("pressure rating", FC_PRESSURE, FCI_POSITIVE, fc_device,
           pressure_rating),
};

static const struct fci_field reducer_fields[] = {
    NAME("from", fc_reducer, from),
    NAME("beside", fc_reducer, beside),
    RANGE("rise", FC_LENGTH, FCI_ANY, fc_reducer, rise),
    HEIGHT("elevation", fc_reducer, elevation, floor),
    NEEDED_RANGE("set", FC_PRESSURE, FCI_POSITIVE, fc_reducer, set),
    { KEY("fall-off", &fci_figure_at_field, FC_PRESSURE, FCI_NOT_NEGATIVE,
          fc_reducer, fall_off),
      .second = offsetof(fc_reducer, fall_off_flow),
      .second_dimension = FC_FLOW },
    LOSS("loss", fc_reducer, loss),
    YES_NO("gauge", fc_reducer, gauge_fits),
    FIGURE("pressure rating", FC_PRESSURE, FCI_POSITIVE, fc_reducer,
           pressure_rating),
};

static const struct fci_field pump_fields[] = {
    NEEDED_NAME("from", fc_pump, from),
    RANGE("rise", FC_LENGTH, FCI_ANY, fc_pump, rise),
    HEIGHT("elevation", fc_pump, elevation, floor),
    { KEY("curve", &fci_points_field, FC_FLOW, FCI_ANY, fc_pump, curve),
      .second = offsetof(fc_pump, n_curve), .second_dimension = FC_LENGTH,
      .required = true },
    RANGE("hold", FC_PRESSURE, FCI_POSITIVE, fc_pump, hold),
    YES_NO("running", fc_pump, running),
    RANGE("minimum suction", FC_PRESSURE, FCI_NOT_NEGATIVE, fc_pump,
          minimum_suction),
    YES_NO("gauge", fc_pump, gauge_fits),
    FIGURE("pressure rating", FC_PRESSURE, FCI_POSITIVE, fc_pump,
           pressure_rating),
};

static const struct fci_field pressure_tank_fields[] = {
    NEEDED_NAME("from", fc_pressure_tank, from),
    RANGE("rise", FC_LENGTH, FCI_ANY, fc_pressure_tank, rise),
    HEIGHT("elevation", fc_pressure_tank, elevation, floor),
    NEEDED_RANGE("volume", FC_VOLUME, FCI_POSITIVE, fc_pressure_tank, volume),
    NEEDED_RANGE("cut-in", FC_PRESSURE, FCI_POSITIVE, fc_pressure_tank,
                 cut_in),
    NEEDED_RANGE("cut-out", FC_PRESSURE, FCI_POSITIVE, fc_pressure_tank,
                 cut_out),
    RANGE("precharge", FC_PRESSURE, FCI_NOT_NEGATIVE, fc_pressure_tank,
          precharge),
};

static const struct fci_field fixture_fields[] = {
    NEEDED_NAME("on", fc_fixture, on),
    NEEDED_NAME("kind", fc_fixture, kind),
    CHOICE("use", use_words, FC_PUBLIC, fc_fixture, use),
    { KEY("count", &fci_count_field, FC_NUMBER, FCI_ANY, fc_fixture, count),
      .second = offsetof(fc_fixture, counts) },
    RANGE("rise", FC_LENGTH, FCI_ANY, fc_fixture, rise),
    HEIGHT("elevation", fc_fixture, elevation, floor),
    FIGURE("supply size", FC_SIZE, FCI_POSITIVE, fc_fixture, supply_size),
    DIPPING_LOSS("stop", fc_fixture, stop),
    FIGURE("bowl", FC_VOLUME, FCI_POSITIVE, fc_fixture, bowl),
    FIGURE("existing bowl", FC_VOLUME, FCI_POSITIVE, fc_fixture,
           existing_bowl),
    FIGURE("retrofit bowl", FC_VOLUME, FCI_POSITIVE, fc_fixture,
           retrofit_bowl),
    FIGURE("maximum static", FC_PRESSURE, FCI_POSITIVE, fc_fixture,
           maximum_static),
    NAME("existing", fc_fixture, existing),
    NAME("retrofit", fc_fixture, retrofit),
    FIGURE("fixture units", FC_NUMBER, FCI_NOT_NEGATIVE, fc_fixture,
           fixture_units),
    FIGURE("interval", FC_TIME, FCI_POSITIVE, fc_fixture, interval),
    PAIR("rate", &fci_figure_at_field, FC_FLOW, fc_fixture, rate,
         rate_pressure, FC_PRESSURE),
    RANGE("draw per day", FC_VOLUME, FCI_POSITIVE, fc_fixture, draw_per_day),
    YES_NO("gauge", fc_fixture, gauge_fits),
    RANGE("uses per day", FC_NUMBER, FCI_COUNTED, fc_fixture, uses_per_day),
    CHOICE("used by", sex_words, FC_MEN, fc_fixture, used_by),
    YES_NO("balanced", fc_fixture, balanced),
};

static const struct fci_field demand_fields[] = {
    NEEDED_NAME("on", fc_demand, on),
    NEEDED_RANGE("flow", FC_FLOW, FCI_NOT_NEGATIVE, fc_demand, flow),
};

/* Beside these, one key a size: the reader takes them (see site/reader.c). */
static const struct fci_field prices_fields[] = {
    NEEDED_NAME("material", fc_prices, material),
    PRICE("each", fc_prices, each),
};

#define FIX(key, member) PRICE(key, fc_fix_prices, member)

static const struct fci_field fix_price_fields[] = {
    FIX("source", source),
    FIX("prv setting", prv_setting),
    FIX("prv", prv),
    FIX("pump", pump),
    FIX("booster", booster),
    FIX("meter", meter),
    FIX("backflow", backflow),
    FIX("device", device),
    FIX("valve", valve),
    FIX("keep valve", keep_valve),
    FIX("floor", floor),
    FIX("riser", riser),
    FIX("stop", stop),
    FIX("water", water),
    FIX("battery set", battery_set),
};

static const struct fci_field heater_fields[] = {
    NEEDED_NAME("on", fc_heater, on),
    { KEY("serves", &fci_names_field, FC_NUMBER, FCI_ANY, fc_heater, serves),
      .second = offsetof(fc_heater, n_serves), .required = true },
};

#define PEOPLE_FIELDS(s)                                                      \
    RANGE("people", FC_NUMBER, FCI_COUNTED, s, people),                       \
        RANGE("men", FC_NUMBER, FCI_COUNTED, s, men),                         \
        RANGE("women", FC_NUMBER, FCI_COUNTED, s, women),                     \
        RANGE("uses per day", FC_NUMBER, FCI_COUNTED, s, uses_per_day),       \
        RANGE("closet uses", FC_NUMBER, FCI_COUNTED, s, closet_uses),         \
        RANGE("urinal uses", FC_NUMBER, FCI_COUNTED, s, urinal_uses),         \
        RANGE("days per year", FC_NUMBER, FCI_COUNTED, s, days_per_year)

static const struct fci_field usage_fields[] = {
    FIGURE("interval", FC_TIME, FCI_POSITIVE, fc_usage, interval),
    RANGE("busy period", FC_TIME, FCI_POSITIVE, fc_usage, busy_period),
    PEOPLE_FIELDS(fc_usage),
    RANGE("long stay share", FC_NUMBER, FCI_FRACTION, fc_usage,
          long_stay_share),
    RANGE("false flushes", FC_NUMBER, FCI_COUNTED, fc_usage, false_flushes),
    LIST("closed", &fci_spells_field, fc_usage, closed, n_closed),
    RANGE("hours per day", FC_TIME, FCI_POSITIVE, fc_usage, hours_per_day),
    RANGE("last use within", FC_TIME, FCI_POSITIVE, fc_usage, last_use_within),
};

static const struct fci_field people_fields[] = { PEOPLE_FIELDS(fc_people) };

static const struct fci_field reading_fields[] = {
    NEEDED_NAME("at", fc_reading, at),
    FIGURE("pressure", FC_PRESSURE, FCI_READ, fc_reading, pressure),
    FIGURE("within", FC_PRESSURE, FCI_ACCURACY, fc_reading, within),
    NAME("gauge", fc_reading, gauge),
    LIST("flushing", &fci_flushing_field, fc_reading, flushing, n_flushing),
    LIST("open", &fci_open_field, fc_reading, flushing, n_flushing),
    FIGURE("flow", FC_FLOW, FCI_NOT_NEGATIVE, fc_reading, flow),
    PAIR("filled", &fci_figure_at_field, FC_VOLUME, fc_reading, filled_volume,
         filled_time, FC_TIME),
    FIGURE("flush time", FC_TIME, FCI_POSITIVE, fc_reading, flush_time),
    CHOICE("state", state_words, FC_EXISTING, fc_reading, state),
    CHOICE("dial", fci_sight_words + (FC_SEEN_TURNING - FC_SEEN_OPEN),
           FC_SEEN_TURNING, fc_reading, dial),
};

static const struct fci_field look_fields[] = {
    NEEDED_NAME("at", fc_look, at),
    { KEY("shows", &fci_choice_field, FC_NUMBER, FCI_ANY, fc_look, shows),
      .choices = fci_sight_words, .second = FC_SEEN_OPEN },
    FIGURE("rise", FC_LENGTH, FCI_ANY, fc_look, rise),
    FIGURE("length", FC_LENGTH, FCI_POSITIVE, fc_look, length),
    FIGURE("size", FC_SIZE, FCI_POSITIVE, fc_look, size),
};

static const struct fci_field claim_fields[] = {
    NEEDED_NAME("fixture", fc_claim, fixture),
    { KEY("flowing", &fci_figure_field, FC_PRESSURE, FCI_POSITIVE, fc_claim,
          flowing),
      .required = true },
    LIST("while", &fci_while_field, fc_claim, flushing, n_flushing),
    { KEY("state", &fci_said_choice_field, FC_NUMBER, FCI_ANY, fc_claim,
          state),
      .choices = state_words, .second = offsetof(fc_claim, state_said) },
    TEXT("stated in", fc_claim, stated_in),
    FIGURE("supply", FC_PRESSURE, FCI_POSITIVE, fc_claim, supply),
};

static const struct fci_field gauge_fields[] = {
    DEVIATION("within", FC_PRESSURE, fc_gauge, within),
    FIGURE("full scale", FC_PRESSURE, FCI_POSITIVE, fc_gauge, full_scale),
    FIGURE("marks", FC_PRESSURE, FCI_POSITIVE, fc_gauge, marks),
    TEXT("number", fc_gauge, number),
    TEXT("calibrated", fc_gauge, calibrated),
};

static const struct fci_field tolerance_fields[] = {
    DEVIATION("pressure", FC_PRESSURE, fc_tolerance, pressure),
    DEVIATION("length", FC_LENGTH, fc_tolerance, length),
    DEVIATION("elevation", FC_LENGTH, fc_tolerance, elevation),
    DEVIATION("c", FC_NUMBER, fc_tolerance, c),
    DEVIATION("flow test", FC_FLOW, fc_tolerance, flow_test),
};

static const fc_device_kind meter = FC_METER, backflow = FC_BACKFLOW,
                            device = FC_DEVICE;

#define KIND(w, list, type)                                                   \
    .word = w, .fields = list, .n_fields = sizeof list / sizeof *(list),      \
    .size = sizeof(type)
#define NAMED(w, list, type) KIND(w, list, type), .named = true
#define ELEMENT(w, list, type) NAMED(w, list, type), .element = true

const struct fci_part_kind fci_part_kinds[FCI_KINDS] = {
    [FCI_SITE] = { KIND("site", site_fields, fc_settings) },
    [FCI_SOURCE] = { ELEMENT("source", source_fields, fc_source) },
    [FCI_PIPE] = { ELEMENT("pipe", pipe_fields, fc_pipe) },
    [FCI_METER] = { ELEMENT("meter", meter_fields, fc_device),
                    .device = &meter },
    [FCI_BACKFLOW] = { ELEMENT("backflow", backflow_fields, fc_device),
                       .device = &backflow },
    [FCI_DEVICE] = { ELEMENT("device", device_fields, fc_device),
                     .device = &device },
    [FCI_REDUCER] = { ELEMENT("prv", reducer_fields, fc_reducer) },
    [FCI_PUMP] = { ELEMENT("pump", pump_fields, fc_pump) },
    [FCI_PRESSURE_TANK] = { ELEMENT("pressure tank", pressure_tank_fields,
                                    fc_pressure_tank) },
    [FCI_FIXTURE] = { NAMED("fixture", fixture_fields, fc_fixture) },
    [FCI_VALVE] = { NAMED("valve", fci_valve_fields, fc_valve) },
    [FCI_DEMAND] = { NAMED("demand", demand_fields, fc_demand) },
    [FCI_PRICES] = { NAMED("prices", prices_fields, fc_prices), .rows = true },
    [FCI_HEATER] = { NAMED("heater", heater_fields, fc_heater) },
    [FCI_FIX_PRICES] = { KIND("price", fix_price_fields, fc_fix_prices) },
    [FCI_USAGE] = { KIND("usage", usage_fields, fc_usage) },
    [FCI_PEOPLE] = { NAMED("people", people_fields, fc_people) },
    [FCI_READING] = { NAMED("reading", reading_fields, fc_reading) },
    [FCI_CLAIM] = { NAMED("claim", claim_fields, fc_claim) },
    [FCI_GAUGE] = { NAMED("gauge", gauge_fields, fc_gauge) },
    [FCI_LOOK] = { NAMED("look", look_fields, fc_look) },
    [FCI_FLOORS] = { .word = "floors",
                     .size = sizeof(fc_floors),
                     .rows = true },
    [FCI_TOLERANCE] = { KIND("tolerance", tolerance_fields, fc_tolerance) },
};

static const char *
word_at(const void *of, size_t i)
{
    return ((const struct fci_part_kind *)of)[i].word;
}

struct fci_book
fci_part_book(void)
{
    return (struct fci_book){ "sections", fci_part_kinds, FCI_KINDS, word_at,
                              NULL };
}

enum fci_kind
fci_part_kind_of(const char *word)
{
    const struct fci_book book = fci_part_book();
    const size_t kind = fci_book_find(&book, word);

    return kind == FCI_NO_NAME ? FCI_KINDS : (enum fci_kind)kind;
}

const char *
fci_part_headed(const struct fci_part *part)
{
    return part->section ? part->section->kind
                         : fci_part_kinds[part->kind].word;
}

struct fci_where
fci_part_where(const struct fci_part *part)
{
    const struct fci_where where = { fci_part_headed(part), part->name,
                                     part->path, part->section };

    return where;
}

fc_status
fci_part_fail(const struct fci_part *part, fc_diagnostics *messages,
              const char *key, const char *format, ...)
{
    const struct fci_where where = fci_part_where(part);
    fc_status status;
    va_list args;

    va_start(args, format);
    status = fci_fail_where(&where, messages, key, format, args);
    va_end(args);
    return status;
}

bool
fci_part_has_key(const struct fci_part *part, const char *key)
{
    const struct fci_part_kind *kind = &fci_part_kinds[part->kind];

    return part->section
           && fci_fields_may_have(kind->fields, kind->n_fields, part->section,
                                  key);
}

void *
fci_part_member(const struct fci_part *part, const char *key)
{
    const struct fci_part_kind *kind = &fci_part_kinds[part->kind];
    size_t i;

    for (i = 0; i < kind->n_fields; i++)
        if (strcmp(kind->fields[i].key, key) == 0)
            return (char *)part->data + kind->fields[i].offset;
    return NULL;
}

const char *const *
fci_part_floor(const struct fci_part *part)
{
    const struct fci_part_kind *kind = &fci_part_kinds[part->kind];
    size_t i;

    for (i = 0; i < kind->n_fields; i++)
        if (kind->fields[i].type == &fci_height_field)
            return (const void *)((const char *)part->data
                                  + kind->fields[i].second);
    return NULL;
}

void *
fci_part_copy(enum fci_kind kind, const void *data, struct fci_arena *arena)
{
    static const struct fci_field name = { .type = &fci_name_field };
    const struct fci_part_kind *k = &fci_part_kinds[kind];
    char *copy = fci_arena_copy(arena, data, k->size);

    if (!copy || (k->named && !fci_name_field.copy(&name, copy, arena)))
        return NULL;
    for (size_t i = 0; i < k->n_fields; i++) {
        const struct fci_field *field = &k->fields[i];

        if (field->type->copy && !field->type->copy(field, copy, arena))
            return NULL;
    }
    if (kind == FCI_FLOORS
        && !fci_floor_table_copy((fc_floors *)(void *)copy, arena))
        return NULL;
    if (kind == FCI_PRICES
        && !fci_copy_array(
            copy + offsetof(fc_prices, prices),
            ((fc_prices *)(void *)copy)->n_prices * sizeof(fc_price), arena))
        return NULL;
    return copy;
}
