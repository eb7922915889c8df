/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_synonyms.c -- what else the trade calls a thing, and what a
 * slip of the pen is taken for.
 *
 * The words of the rows are what plumbers, fitters and suppliers say (common
 * practice), each with what is meant by it.
 */
#include "ground/synonyms.h"
#include "site/parts.h"
#include "unit/built_in_tables.h"
#include "unit/suite.h"
#include "units/unit_table.h"

#include <math.h>
#include <string.h>

/* ---- The table against what it stands for ------------------------------ */

static bool
is_key(const char *key)
{
    int kind;
    size_t i;

    for (kind = 0; kind < FCI_KINDS; kind++)
        for (i = 0; i < fci_part_kinds[kind].n_fields; i++)
            if (strcmp(fci_part_kinds[kind].fields[i].key, key) == 0)
                return true;
    for (i = 0; i < FCI_VALVE_FIELDS; i++)
        if (strcmp(fci_valve_fields[i].key, key) == 0)
            return true;
    return strcmp(key, "floors") == 0;
}

static bool
is_choice(const char *word)
{
    int kind;
    size_t i, k;

    for (kind = 0; kind < FCI_KINDS; kind++)
        for (i = 0; i < fci_part_kinds[kind].n_fields; i++) {
            const char *const *choices =
                fci_part_kinds[kind].fields[i].choices;

            for (k = 0; choices && choices[k]; k++)
                if (strcmp(choices[k], word) == 0)
                    return true;
        }
    return strcmp(word, "yes") == 0 || strcmp(word, "no") == 0;
}

static bool
is_named(struct fci_book book, const char *name)
{
    size_t i;

    for (i = 0; i < book.n; i++)
        if (strcmp(book.name(book.of, i), name) == 0)
            return true;
    return false;
}

static bool
is_fitting(const char *name)
{
    size_t i;

    for (i = 0; i < fci_tables_count(tables); i++) {
        const struct fci_section *section =
            fci_tables_section(tables, i, NULL);

        if (strcmp(section->kind, "fittings") == 0
            && is_named(
                fci_fittings_book(fci_tables_fittings(tables, section->name)),
                name))
            return true;
    }
    return false;
}

static bool
is_unit(const char *name)
{
    size_t i;

    for (i = 0; i < FCI_UNITS; i++)
        if (strcmp(fci_units[i].name, name) == 0)
            return true;
    return false;
}

static bool
is_known(const struct fci_synonym *s)
{
    fc_range value;

    if (strcmp(s->list, "sections") == 0)
        return is_named(fci_part_book(), s->means);
    if (strcmp(s->list, "keys") == 0)
        return is_key(s->means);
    if (strcmp(s->list, "choices") == 0)
        return is_choice(s->means);
    if (strcmp(s->list, "materials") == 0)
        return is_named(fci_tables_materials(tables), s->means);
    if (strcmp(s->list, "meters") == 0)
        return is_named(fci_tables_meter_names(tables), s->means);
    if (strcmp(s->list, "fittings") == 0)
        return is_fitting(s->means);
    if (strcmp(s->list, "fixtures") == 0)
        return is_named(fci_tables_fixtures(tables, FC_IPC), s->means)
               || is_named(fci_tables_fixtures(tables, FC_UPC), s->means);
    if (strcmp(s->list, "units") == 0)
        return is_unit(s->means);
    if (strcmp(s->list, "sizes") == 0)
        return fc_parse(s->means, FC_SIZE, &value, NULL) == FC_OK;
    if (strcmp(s->list, "fractions") == 0)
        return fc_parse(s->means, FC_NUMBER, &value, NULL) == FC_OK;
    return strcmp(s->list, "inexact") == 0;
}

/* A row that stands for nothing would never be found out; one list after the
 * other, and in each one word after the other, is how they are looked up. */
START_TEST(every_row_stands_for_something)
{
    size_t i;

    ck_assert_uint_gt(fci_n_synonyms, 500);
    for (i = 0; i < fci_n_synonyms; i++) {
        const struct fci_synonym *s = &fci_synonyms[i], *before = s - (i > 0);
        const int list = strcmp(before->list, s->list);

        ck_assert_msg(is_known(s), "%s: \"%s\" stands for \"%s\"", s->list,
                      s->word, s->means);
        ck_assert(*s->word);
        ck_assert_int_le(list, 0);
        if (list == 0)
            ck_assert_msg(strcmp(before->word, s->word) <= 0, "%s: %s",
                          s->list, s->word);
    }
}
END_TEST

/* A judgment is told of words that are synonyms, or it is told of none. */
START_TEST(every_judgment_is_of_synonyms)
{
    static const char *const words[] = { "galvanized", "black iron", "pex",
                                         "cpvc", "pvc" };
    size_t i;

    ck_assert_uint_eq(fci_tables_judgments(tables),
                      sizeof words / sizeof *words);
    for (i = 0; i < sizeof words / sizeof *words; i++) {
        const struct fci_judgment *judgment =
            fci_tables_judgment(tables, words[i]);

        ck_assert_ptr_nonnull(judgment);
        ck_assert_ptr_eq(judgment, fci_tables_judgment_at(tables, i));
        ck_assert_str_eq(judgment->head.name, words[i]);
        ck_assert_uint_eq(fci_meanings("materials", words[i]).n, 1);
    }
    ck_assert_ptr_null(fci_tables_judgment(tables, "type L copper"));
}
END_TEST

/* ---- What is meant ----------------------------------------------------- */

enum list { SECTION, MATERIAL, METER, THREADED, SOLDERED, IPC, UPC };

static struct fci_book
book_of(enum list list)
{
    switch (list) {
    case SECTION:
        return fci_part_book();
    case MATERIAL:
        return fci_tables_materials(tables);
    case METER:
        return fci_tables_meter_names(tables);
    case THREADED:
        return fci_fittings_book(fci_tables_fittings(tables, "threaded"));
    case SOLDERED:
        return fci_fittings_book(
            fci_tables_fittings(tables, "soldered copper"));
    default:
        return fci_tables_fixtures(tables, list == IPC ? FC_IPC : FC_UPC);
    }
}

#define VALVE_CLOSET "water closet, flush valve"
#define TANK_CLOSET "water closet, flush tank"
#define PRESSURE_CLOSET "water closet, flushometer tank"

static const struct {
    enum list list;
    const char *word, *means; /* NULL: none, or several */
} said[] = {
    { SECTION, "prv", "prv" },
    { SECTION, "reducer", "prv" },
    { SECTION, "regulator", "prv" },
    { SECTION, "pressure reducing valve", "prv" },
    { SECTION, "rpz", "backflow" },
    { SECTION, "double check", "backflow" },
    { SECTION, "DCVA", "backflow" },
    { SECTION, "riser", "pipe" },
    { SECTION, "branch", "pipe" },
    { SECTION, "service", "pipe" },
    { SECTION, "booster", "pump" },
    { SECTION, "street", "source" },
    { SECTION, "water meter", "meter" },
    { SECTION, "strainer", "device" },
    { SECTION, "flushometer", "valve" },
    { SECTION, "main", NULL }, /* the city's, or a pipe */
    { SECTION, "chiller", NULL },
    { MATERIAL, "copper L", "copper L" },
    { MATERIAL, "COPPER-L", "copper L" },
    { MATERIAL, "type L copper", "copper L" },
    { MATERIAL, "Copper, Type L", "copper L" },
    { MATERIAL, "cu L", "copper L" },
    { MATERIAL, "type K copper", "copper K" },
    { MATERIAL, "cu M", "copper M" },
    { MATERIAL, "galvanized", "steel sch 40" },
    { MATERIAL, "Galv.", "steel sch 40" },
    { MATERIAL, "galvanized steel", "steel sch 40" },
    { MATERIAL, "black iron", "steel sch 40" },
    { MATERIAL, "Sch. 40 steel", "steel sch 40" },
    { MATERIAL, "PEX", "pex sdr 9" },
    { MATERIAL, "pex-a", "pex sdr 9" },
    { MATERIAL, "CPVC", "cpvc sdr 11" },
    { MATERIAL, "PVC", "pvc sch 40" },
    { MATERIAL, "copper", NULL }, /* K, L or M */
    { MATERIAL, "iron", NULL },   /* steel or ductile */
    { MATERIAL, "lead", NULL },
    { METER, "disc", "displacement" },
    { METER, "positive displacement", "displacement" },
    { METER, "multijet", "multi-jet" },
    { METER, "turbine", NULL }, /* of two classes */
    { THREADED, "ell", "elbow 90" },
    { THREADED, "ells", "elbow 90" },
    { THREADED, "90", "elbow 90" },
    { THREADED, "90 elbow", "elbow 90" },
    { THREADED, "90° ell", "elbow 90" },
    { THREADED, "elbow", "elbow 90" },
    { THREADED, "45", "elbow 45" },
    { THREADED, "45 degree elbow", "elbow 45" },
    { THREADED, "branch tee", "tee branch" },
    { THREADED, "tee on the run", "tee run" },
    { THREADED, "through tee", "tee run" },
    { THREADED, "gate", "gate valve" },
    { THREADED, "globe", "globe valve" },
    { THREADED, "swing check", "check valve" },
    { THREADED, "ball", NULL }, /* not in this table */
    { THREADED, "tee", NULL },  /* run or branch */
    { SOLDERED, "ball", "ball valve" },
    { SOLDERED, "checks", "check valve" },
    { SOLDERED, "Gate-Valve", "gate valve" },
    { IPC, "toilet, flush valve", VALVE_CLOSET },
    { IPC, "toilet, flushometer", VALVE_CLOSET },
    { IPC, "toilet with flushometer", VALVE_CLOSET },
    { IPC, "flushometer toilet", VALVE_CLOSET },
    { IPC, "wc, flush valve", VALVE_CLOSET },
    { IPC, "WC with flushometer", VALVE_CLOSET },
    { IPC, "water closet, flushometer valve", VALVE_CLOSET },
    { IPC, "flush-valve water closet", VALVE_CLOSET },
    { IPC, "water closet flush valve", VALVE_CLOSET },
    { IPC, "tank toilet", TANK_CLOSET },
    { IPC, "wc, flush tank", TANK_CLOSET },
    { IPC, "pressure-assist toilet", PRESSURE_CLOSET },
    { IPC, "flushometer tank", PRESSURE_CLOSET },
    { IPC, "blowout toilet", "water closet, blowout, flush valve" },
    { IPC, "flush valve urinal", "urinal, flush valve" },
    { IPC, "urinal, flushometer", "urinal, flush valve" },
    { IPC, "urinal tank", "urinal, flush tank" },
    { IPC, "mop sink", "service sink" },
    { IPC, "janitor's sink", "service sink" },
    { IPC, "bibb", "hose bibb" },
    { IPC, "sillcock", "hose bibb" },
    { IPC, "lav", "lavatory" },
    { IPC, "water cooler", "drinking fountain" },
    { IPC, "laundry tub", "laundry tray" },
    { IPC, "tub", "bathtub" },
    { IPC, "toilet", NULL }, /* valve or tank */
    { IPC, "wc", NULL },
    { IPC, "urinal", NULL },
    { IPC, "sink", NULL },            /* kitchen, service or lavatory */
    { IPC, "washing machine", NULL }, /* 8 or 15 lb */
    { IPC, "bar sink", NULL },        /* not in this code */
    { UPC, "washing machine", "washing machine" },
    { UPC, "clothes washer", "washing machine" },
    { UPC, "bar sink", "bar sink" },
    { UPC, "toilet, flushometer", VALVE_CLOSET },
    { UPC, "mop basin", "service sink" },
};

START_TEST(what_is_meant)
{
    const struct fci_book book = book_of(said[_i].list);
    const size_t found = fci_book_find(&book, said[_i].word);

    ck_assert_msg((found == FCI_NO_NAME) == (said[_i].means == NULL), "%s",
                  said[_i].word);
    if (said[_i].means)
        ck_assert_str_eq(book.name(book.of, found), said[_i].means);
}
END_TEST

/* What a word may be, where it is several. */
static const struct {
    enum list list;
    const char *word, *says;
} several[] = {
    { SECTION, "main", "could be \"pipe\" or \"source\"; say which" },
    { MATERIAL, "copper",
      "could be \"copper K\", \"copper L\" or \"copper M\"; say which" },
    { THREADED, "tee", "could be \"tee branch\" or \"tee run\"; say which" },
    { IPC, "toilet",
      "could be \"" TANK_CLOSET "\", \"" VALVE_CLOSET
      "\" or \"" PRESSURE_CLOSET "\"; say which" },
    { IPC, "urinal",
      "could be \"urinal, flush tank\" or \"urinal, flush valve\"; say "
      "which" },
    { METER, "turbine",
      "could be \"turbine class I\" or \"turbine class II\"; say which" },
    { IPC, "lavatory", "" },
    { IPC, "lamp", "" },
};

START_TEST(several_are_named)
{
    const struct fci_book book = book_of(several[_i].list);

    ck_assert_str_eq(fci_book_ambiguity(&book, several[_i].word).text,
                     several[_i].says);
}
END_TEST

/* ---- Keys -------------------------------------------------------------- */

static const struct {
    enum fci_kind kind;
    const char *word, *key; /* NULL: none, or several */
} keys[] = {
    { FCI_PIPE, "fed from", "from" },
    { FCI_FIXTURE, "fed from", "on" },
    { FCI_FIXTURE, "from", "on" },
    { FCI_SOURCE, "static pressure", "static" },
    { FCI_SOURCE, "test flow", "residual flow" },
    { FCI_REDUCER, "set pressure", "set" },
    { FCI_REDUCER, "droop", "fall-off" },
    { FCI_REDUCER, "fall off", "fall-off" },
    { FCI_PUMP, "set pressure", "hold" },
    { FCI_PUMP, "discharge pressure", "hold" },
    { FCI_METER, "pressure loss", "loss" },
    { FCI_METER, "diameter", "size" },
    { FCI_PIPE, "diameter", NULL }, /* nominal or inside */
    { FCI_PIPE, "id", "inside diameter" },
    { FCI_PIPE, "developed length", "length" },
    { FCI_PIPE, "equivalent length", NULL }, /* with the fittings in it */
    { FCI_PIPE, "C-factor", "c" },
    { FCI_FIXTURE, "qty", "count" },
    { FCI_FIXTURE, "WSFU", "fixture units" },
    { FCI_FIXTURE, "angle stop", "stop" },
    { FCI_FIXTURE, "flow rate", "rate" },
    { FCI_VALVE, "flow rate", "flow" },
    { FCI_VALVE, "gpf", "full flush" },
    { FCI_VALVE, "minimum flowing pressure", "minimum flowing" },
    { FCI_VALVE, "max static", "maximum static" },
    { FCI_VALVE, "minimum pressure", NULL }, /* static or flowing */
    { FCI_GAUGE, "number", "number" },
};

START_TEST(keys_that_are_meant)
{
    const struct fci_part_kind *kind = &fci_part_kinds[keys[_i].kind];
    const char *key =
        fci_fields_key(kind->fields, kind->n_fields, keys[_i].word);

    ck_assert_str_eq(key, keys[_i].key ? keys[_i].key : keys[_i].word);
}
END_TEST

/* ---- Figures ----------------------------------------------------------- */

/* The definitions of [SP811], see units/units.c, worked out here. */
#define PSI 6894.757293168361
#define INCH 0.0254
#define FOOT (12 * INCH)
#define GALLON (231 * INCH * INCH * INCH)
#define GPM (GALLON / 60)

static const struct {
    const char *text;
    fc_dimension dimension;
    double low, high;
} figures[] = {
    { "62 psig", FC_PRESSURE, 62 * PSI, 62 * PSI },
    { "62 lb", FC_PRESSURE, 62 * PSI, 62 * PSI },
    { "62 lbs.", FC_PRESSURE, 62 * PSI, 62 * PSI },
    { "62#", FC_PRESSURE, 62 * PSI, 62 * PSI },
    { "62 pounds", FC_PRESSURE, 62 * PSI, 62 * PSI },
    { "10 ft of head", FC_PRESSURE, 29890.6692, 29890.6692 },
    { "12 feet", FC_LENGTH, 12 * FOOT, 12 * FOOT },
    { "1 foot", FC_LENGTH, FOOT, FOOT },
    { "40 lf", FC_LENGTH, 40 * FOOT, 40 * FOOT },
    { "6 inches", FC_LENGTH, 6 * INCH, 6 * INCH },
    { "6 in.", FC_LENGTH, 6 * INCH, 6 * INCH },
    { "12' 6\"", FC_LENGTH, 150 * INCH, 150 * INCH },
    { "12'-6''", FC_LENGTH, 150 * INCH, 150 * INCH },
    { "12\xE2\x80\xB2 6\xE2\x80\xB3", FC_LENGTH, 150 * INCH, 150 * INCH },
    { "12\xE2\x80\x99 6\xE2\x80\x9D", FC_LENGTH, 150 * INCH, 150 * INCH },
    { "12 ft. 6 in.", FC_LENGTH, 150 * INCH, 150 * INCH },
    { "3 ft.", FC_LENGTH, 3 * FOOT, 3 * FOOT },
    { "3 in..5 in", FC_LENGTH, 3 * INCH, 5 * INCH },
    { "1\xC2\xBD in", FC_SIZE, 1.5 * INCH, 1.5 * INCH },
    { "1 \xC2\xBD\"", FC_SIZE, 1.5 * INCH, 1.5 * INCH },
    { "1-\xC2\xBC in", FC_SIZE, 1.25 * INCH, 1.25 * INCH },
    { "\xC2\xBE in", FC_SIZE, 0.75 * INCH, 0.75 * INCH },
    { "\xC2\xBD\xE2\x80\x93\xC2\xBE in", FC_SIZE, 0.5 * INCH, 0.75 * INCH },
    { "\xE2\x85\x9C in", FC_SIZE, 0.375 * INCH, 0.375 * INCH },
    { "inch-and-a-quarter", FC_SIZE, 1.25 * INCH, 1.25 * INCH },
    { "inch and a quarter to inch and a half", FC_SIZE, 1.25 * INCH,
      1.5 * INCH },
    { "Three-quarter inch", FC_SIZE, 0.75 * INCH, 0.75 * INCH },
    { "NPS 1-1/4", FC_SIZE, 1.25 * INCH, 1.25 * INCH },
    { "25 gallons per minute", FC_FLOW, 25 * GPM, 25 * GPM },
    { "25 gal/min", FC_FLOW, 25 * GPM, 25 * GPM },
    { "36 m\xC2\xB3/h", FC_FLOW, 0.01, 0.01 },
    { "1.6 gpf", FC_VOLUME, 1.6 * GALLON, 1.6 * GALLON },
    { "1.28 gallons per flush", FC_VOLUME, 1.28 * GALLON, 1.28 * GALLON },
    { "6 Lpf", FC_VOLUME, 0.006, 0.006 },
    { "8 fps", FC_VELOCITY, 8 * FOOT, 8 * FOOT },
    { "4 sec", FC_TIME, 4, 4 },
    { "5 minutes", FC_TIME, 300, 300 },
    { "50\xC2\xB0"
      "F",
      FC_TEMPERATURE, 10, 10 },
    { "50 percent", FC_NUMBER, 0.5, 0.5 },
    { "40-60 ft", FC_LENGTH, 40 * FOOT, 60 * FOOT },
    { "40 - 60 ft", FC_LENGTH, 40 * FOOT, 60 * FOOT },
    { "40 to 60 ft", FC_LENGTH, 40 * FOOT, 60 * FOOT },
    { "40 ft to 60 ft", FC_LENGTH, 40 * FOOT, 60 * FOOT },
    { "40\xE2\x80\x93"
      "60 ft",
      FC_LENGTH, 40 * FOOT, 60 * FOOT },
    { "40 \xE2\x80\x94 60 ft", FC_LENGTH, 40 * FOOT, 60 * FOOT },
    { "40\xE2\x80\xA6"
      "60 ft",
      FC_LENGTH, 40 * FOOT, 60 * FOOT },
    { "60-100", FC_NUMBER, 60, 100 },
    { "3/4-1 in", FC_SIZE, 0.75 * INCH, INCH },
    { "1-1/4 in", FC_SIZE, 1.25 * INCH, 1.25 * INCH }, /* no range */
    { "1-1/4-1-1/2 in", FC_SIZE, 1.25 * INCH, 1.5 * INCH },
    { "12 ft - 14 ft", FC_LENGTH, 12 * FOOT, 14 * FOOT },
};

START_TEST(figures_that_are_meant)
{
    fc_range value;

    ck_assert_msg(
        fc_parse(figures[_i].text, figures[_i].dimension, &value, NULL)
            == FC_OK,
        "%s", figures[_i].text);
    ck_assert_double_eq_tol(value.low, figures[_i].low,
                            1e-12 * fabs(figures[_i].low));
    ck_assert_double_eq_tol(value.high, figures[_i].high,
                            1e-12 * fabs(figures[_i].high));
}
END_TEST

static const struct {
    const char *text;
    fc_dimension dimension;
    const char *said;
} refused[] = {
    { "~50 ft", FC_LENGTH,
      "\"~50 ft\" is a guess; write a range that it lies in, as in 40..60" },
    { "about 50 ft", FC_LENGTH,
      "\"about 50 ft\" is a guess; write a range that it lies in, as in "
      "40..60" },
    { "approx. 50 ft", FC_LENGTH,
      "\"approx. 50 ft\" is a guess; write a range that it lies in, as in "
      "40..60" },
    { "?", FC_PRESSURE,
      "\"?\" is no figure; write a range that it lies in, as in 40..60, or "
      "leave the key out" },
    { "unknown", FC_LENGTH,
      "\"unknown\" is no figure; write a range that it lies in, as in 40..60, "
      "or leave the key out" },
    { "25 gpf", FC_FLOW,
      "\"25 gpf\" is a volume; a flow is needed, such as 25 gpm or 1.6 L/s" },
    { "1.6 gpm", FC_VOLUME,
      "\"1.6 gpm\" is a flow; a volume is needed, such as 1.6 gal or 6 L" },
    { "62 psia", FC_PRESSURE,
      "\"62 psia\" has an unknown unit; a pressure is needed, in one of: psi, "
      "kPa, bar, ftH2O, mH2O" },
    { "60-40 ft", FC_LENGTH,
      "\"60-40 ft\" runs downward; a range starts with its lower figure" },
    { "5 -- 6 ft", FC_LENGTH,
      "\"5 -- 6 ft\" has a - after its number; a range is written with two "
      "points, as in 40..60" },
    { "40...60 ft", FC_LENGTH,
      "\"40...60 ft\" has three points; a range has two, as in 40..60" },
    { "two cubits", FC_LENGTH,
      "\"two cubits\" does not start with a number; a length is needed, such "
      "as 12 ft or 3.5 m" },
    { "1\xC2\xBD", FC_SIZE,
      "\"1\xC2\xBD\" has no unit; a nominal size is needed, such as 1-1/4 in "
      "or "
      "DN32" },
};

START_TEST(figures_that_are_refused)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_range value;

    ck_assert_int_eq(
        fc_parse(refused[_i].text, refused[_i].dimension, &value, messages),
        FC_EINPUT);
    ck_assert_str_eq(fc_diagnostics_at(messages, 0).text, refused[_i].said);
    fc_diagnostics_free(messages);
}
END_TEST

/* ---- Slips of the pen -------------------------------------------------- */

static bool
same_units(const struct fci_units_of_use *a, const struct fci_units_of_use *b)
{
    return a->given == b->given
           && (!a->given
               || (a->cold == b->cold && a->hot == b->hot
                   && a->total == b->total));
}

static bool
same_loads(const struct fci_fixture_kind *a, const struct fci_fixture_kind *b)
{
    size_t use;

    for (use = 0; use < 3; use++)
        if (!same_units(&a->units[use], &b->units[use])
            || !same_units(&a->units_above[use], &b->units_above[use]))
            return false;
    return a->flushes == b->flushes;
}

/* Whether a suggestion may stand for an entry: it is that one, or a fixture
 * with the same units. */
static bool
may_stand_for(enum list list, const char *suggested, const char *entry)
{
    const fc_code code = list == UPC ? FC_UPC : FC_IPC;

    if (strcmp(suggested, entry) == 0)
        return true;
    return (list == IPC || list == UPC)
           && same_loads(fci_tables_fixture(tables, code, suggested),
                         fci_tables_fixture(tables, code, entry));
}

/* A slip in an entry's name, and what is suggested.  One that gives another
 * word that is known cannot be told. */
static void
try_slip(enum list list, const struct fci_book *book, const char *slip,
         const char *entry)
{
    const char *meant;

    if (fci_book_find(book, slip) != FCI_NO_NAME)
        return;
    meant = fci_book_nearest(book, slip);
    if (!meant)
        return;
    ck_assert_msg(may_stand_for(list, meant, entry),
                  "\"%s\", a slip for \"%s\", is taken for \"%s\"", slip,
                  entry, meant);
}

/* Every letter left out, doubled, swapped with the next, and made another,
 * in turn others where not all are tried. */
static void
try_slips(enum list list, const struct fci_book *book, const char *word,
          const char *entry)
{
    const size_t n = strlen(word);
    const int step = SANITIZED ? 26 : usual(4, 1);
    char slip[100];
    size_t i;

    ck_assert_uint_lt(n, sizeof slip - 2);
    for (i = 0; i < n; i++) {
        snprintf(slip, sizeof slip, "%.*s%s", (int)i, word, word + i + 1);
        try_slip(list, book, slip, entry);
        snprintf(slip, sizeof slip, "%.*s%s", (int)i + 1, word, word + i);
        try_slip(list, book, slip, entry);
        snprintf(slip, sizeof slip, "%s", word);
        if (i + 1 < n) {
            slip[i] = word[i + 1];
            slip[i + 1] = word[i];
            try_slip(list, book, slip, entry);
        }
        for (int letter = 'a' + (int)i % step; letter <= 'z'; letter += step) {
            snprintf(slip, sizeof slip, "%s", word);
            slip[i] = (char)letter;
            try_slip(list, book, slip, entry);
        }
    }
}

/* No suggestion changes what an entry is: its units, size of bore, volume. */
START_TEST(no_suggestion_changes_the_meaning)
{
    static const enum list lists[] = { MATERIAL, METER, THREADED,
                                       SOLDERED, IPC,   UPC };
    const struct fci_book book = book_of(lists[_i]);
    const struct fci_synonym *synonym;
    size_t i, n;

    ck_assert_uint_gt(book.n, 2);
    for (i = 0; i < book.n; i++)
        try_slips(lists[_i], &book, book.name(book.of, i),
                  book.name(book.of, i));
    synonym = fci_synonyms_of(book.synonyms, &n);
    for (i = 0; i < n; i++) {
        const size_t found = fci_book_find(&book, synonym[i].word);

        if (found != FCI_NO_NAME)
            try_slips(lists[_i], &book, synonym[i].word,
                      book.name(book.of, found));
    }
}
END_TEST

/* The same of a valve, whose classes differ by a volume. */
START_TEST(no_suggestion_changes_the_volume)
{
    const struct fci_book book = fci_tables_valves(tables);
    size_t i;

    for (i = 0; i < book.n; i++)
        try_slips(MATERIAL, &book, book.name(book.of, i),
                  book.name(book.of, i));
}
END_TEST

/* Words of one thing are no slip for those of another. */
static const struct {
    enum list list;
    const char *word;
} never[] = {
    { IPC, "flush tank valve" },
    { IPC, "flush valve tank" },
    { IPC, "water closet, valve tank" },
    { MATERIAL, "copper N" },
    { MATERIAL, "steel sch 80" },
    { MATERIAL, "gold" },
    { THREADED, "elbow 60" },
};

START_TEST(nothing_is_suggested)
{
    const struct fci_book book = book_of(never[_i].list);

    ck_assert_ptr_null(fci_book_nearest(&book, never[_i].word));
}
END_TEST

static const struct {
    enum list list;
    const char *word, *nearest;
} slips[] = {
    { IPC, "water closet, flush valv", VALVE_CLOSET },
    { IPC, "water closet, flush tnak", TANK_CLOSET },
    { IPC, "toliet, flush valve", VALVE_CLOSET },
    { IPC, "lavtory", "lavatory" },
    { MATERIAL, "galvanzed", "steel sch 40" },
    { MATERIAL, "coper L", "copper L" },
    { THREADED, "elbw 90", "elbow 90" },
    { METER, "displacment", "displacement" },
    { SECTION, "regulater", "prv" },
    { SECTION, "pip", "pipe" },
};

START_TEST(slips_are_told)
{
    const struct fci_book book = book_of(slips[_i].list);

    ck_assert_pstr_eq(fci_book_nearest(&book, slips[_i].word),
                      slips[_i].nearest);
}
END_TEST

/* ---- All --------------------------------------------------------------- */

#define ROWS(a) ((int)(sizeof(a) / sizeof *(a)))

static TCase *
case_of(Suite *suite, const char *name)
{
    TCase *t = tcase_create(name);

    tcase_add_unchecked_fixture(t, read_tables, free_tables);
    tcase_set_timeout(t, 120);
    suite_add_tcase(suite, t);
    return t;
}

int
main(void)
{
    Suite *suite = suite_create("synonyms");
    TCase *t = case_of(suite, "table");

    tcase_add_test(t, every_row_stands_for_something);
    tcase_add_test(t, every_judgment_is_of_synonyms);
    t = case_of(suite, "meanings");
    tcase_add_loop_test(t, what_is_meant, 0, ROWS(said));
    tcase_add_loop_test(t, several_are_named, 0, ROWS(several));
    tcase_add_loop_test(t, keys_that_are_meant, 0, ROWS(keys));
    t = case_of(suite, "figures");
    tcase_add_loop_test(t, figures_that_are_meant, 0, ROWS(figures));
    tcase_add_loop_test(t, figures_that_are_refused, 0, ROWS(refused));
    t = case_of(suite, "slips");
    tcase_add_loop_test(t, no_suggestion_changes_the_meaning, 0, 6);
    tcase_add_test(t, no_suggestion_changes_the_volume);
    tcase_add_loop_test(t, nothing_is_suggested, 0, ROWS(never));
    tcase_add_loop_test(t, slips_are_told, 0, ROWS(slips));
    return run_suite(suite);
}
