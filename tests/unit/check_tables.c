/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_tables.c -- reading, amending and looking up the tables.
 *
 * What the built-in figures are is tested in unit/check_table_figures.c.
 */
#include "unit/built_in_tables.h"
#include "ini/fields.h"
#include "ground/names.h"
#include "unit/suite.h"
#include "units/units.h"
#include "unit/us_units.h"

#include <math.h>
#include <string.h>
#include <unistd.h>

#define COUNT(list) (sizeof(list) / sizeof *(list))

static void
expect(double got, double want)
{
    ck_assert_double_eq_tol(got, want, 1e-6 * want);
}

/* ---- A tables file of one's own --------------------------------------- */

struct own {
    char path[64];
    struct fci_tables *tables;
    fc_diagnostics *messages;
    fc_status status;
};

static struct own
read_own(const char *text)
{
    struct own own = { .path = "/tmp/check_tables-XXXXXX" };
    int file = mkstemp(own.path);
    const size_t n = strlen(text);

    ck_assert_int_ge(file, 0);
    ck_assert_int_eq(write(file, text, n), (ssize_t)n);
    close(file);
    own.messages = fc_diagnostics_new();
    ck_assert_ptr_nonnull(own.messages);
    own.status = fci_tables_read(own.path, &own.tables, own.messages);
    unlink(own.path);
    return own;
}

static struct own
read_good(const char *text)
{
    struct own own = read_own(text);

    ck_assert_msg(own.status == FC_OK, "%s",
                  fc_diagnostics_count(own.messages)
                      ? fc_diagnostics_at(own.messages, 0).text
                      : "no message");
    ck_assert_uint_eq(fc_diagnostics_count(own.messages), 0);
    return own;
}

static void
free_own(struct own *own)
{
    fci_tables_free(own->tables);
    fc_diagnostics_free(own->messages);
}

/* ---- The built-in tables, row by row ---------------------------------- */

static const struct fci_section *
section_of(const struct fci_tables *from, const char *kind, const char *name,
           bool *amended)
{
    size_t i;

    for (i = 0; i < fci_tables_count(from); i++) {
        const struct fci_section *section =
            fci_tables_section(from, i, amended);

        if (strcmp(section->kind, kind) == 0
            && strcmp(section->name, name) == 0)
            return section;
    }
    ck_abort_msg("no [%s %s]", kind, name);
    return NULL;
}

/* How many rows a section has; they must ascend as they are written. */
static size_t
count_rows(const struct fci_section *section, fc_dimension dimension)
{
    double last = 0;
    fc_range place;
    size_t i, n = 0;

    for (i = 0; i < section->n_entries; i++) {
        const char *key = section->entries[i].key;

        if (*key < '0' || *key > '9')
            continue;
        ck_assert_int_eq(fc_parse(key, dimension, &place, NULL), FC_OK);
        ck_assert_msg(place.nominal > last, "[%s %s] %s", section->kind,
                      section->name, key);
        last = place.nominal;
        n++;
    }
    ck_assert_msg(n > 0, "[%s %s]", section->kind, section->name);
    return n;
}

static void
check_pipe(const struct fci_section *section)
{
    const struct fci_material *material =
        fci_tables_material(tables, section->name);
    size_t i;

    ck_assert_ptr_nonnull(material);
    ck_assert_uint_eq(material->n_sizes, count_rows(section, FC_SIZE));
    for (i = 0; i < material->n_sizes; i++) {
        const struct fci_size *size = &material->sizes[i];

        ck_assert_double_gt(size->bore, i ? size[-1].bore : 0.0);
        ck_assert_double_gt(size->nominal, i ? size[-1].nominal : 0.0);
        /* tubes are about as wide as they are called */
        ck_assert_double_gt(size->bore, 0.6 * size->nominal);
        ck_assert_double_lt(size->bore, 1.4 * size->nominal);
        ck_assert_ptr_eq(fci_material_size(material, size->nominal), size);
    }
    ck_assert(*material->title && *material->c_source
              && *material->velocity_source);
    ck_assert_ptr_nonnull(material->fittings);
}

static void
check_fittings(const struct fci_section *section)
{
    const struct fci_fittings *fittings =
        fci_tables_fittings(tables, section->name);
    size_t i, k, printed = 0;
    bool column;

    ck_assert_ptr_nonnull(fittings);
    ck_assert_uint_eq(fittings->n_rows, count_rows(section, FC_SIZE));
    for (i = 0; i < fittings->n_rows; i++)
        for (k = 0; k < fittings->n_columns; k++) {
            double length = fci_fittings_length(fittings, fittings->columns[k],
                                                fittings->sizes[i], &column);

            ck_assert(column);
            ck_assert(isnan(length) || length > 0);
            if (!isnan(length))
                printed++;
        }
    /* more is printed than left out */
    ck_assert_uint_gt(2 * printed, fittings->n_rows * fittings->n_columns);
}

static void
check_meter(const struct fci_section *section)
{
    const struct fci_meter_kind *meter =
        fci_tables_meter(tables, section->name);
    size_t i;

    ck_assert_ptr_nonnull(meter);
    ck_assert_uint_eq(meter->n_sizes, count_rows(section, FC_SIZE));
    for (i = 1; i < meter->n_sizes; i++)
        ck_assert_double_gt(meter->sizes[i].flow, meter->sizes[i - 1].flow);
}

static void
check_demand(const struct fci_section *section)
{
    const bool is_upc = strcmp(section->name, "upc") == 0;
    const struct fci_curve_rows *curve =
        fci_tables_demand(tables, is_upc ? FC_UPC : FC_IPC);
    size_t n = count_rows(section, FC_NUMBER), i;

    if (strcmp(section->name, "nspc") == 0)
        return; /* belongs to no code */
    ck_assert_str_eq(curve->head.name, section->name);
    ck_assert_uint_eq(curve->n, n);
    for (i = 1; i < n; i++) {
        ck_assert_double_gt(curve->tank[i], curve->tank[i - 1]);
        if (!isnan(curve->valve[i - 1]))
            ck_assert_double_gt(curve->valve[i], curve->valve[i - 1]);
        /* a flush valve asks for no less than a tank */
        if (!isnan(curve->valve[i]))
            ck_assert_double_ge(curve->valve[i], curve->tank[i]);
    }
}

START_TEST(every_row_is_read)
{
    size_t i, seen = 0;
    bool amended;

    for (i = 0; i < fci_tables_count(tables); i++) {
        const struct fci_section *section =
            fci_tables_section(tables, i, &amended);

        ck_assert(!amended);
        if (strcmp(section->kind, "pipe") == 0)
            check_pipe(section);
        else if (strcmp(section->kind, "fittings") == 0)
            check_fittings(section);
        else if (strcmp(section->kind, "meter") == 0)
            check_meter(section);
        else if (strcmp(section->kind, "demand") == 0)
            check_demand(section);
        else if (strcmp(section->kind, "falling") == 0)
            ck_assert_uint_eq(count_rows(section, FC_NUMBER), 5);
        else
            continue;
        seen++;
    }
    /* 13 pipes, 6 fittings, 5 meters, 3 demands, 2 falling units */
    ck_assert_uint_eq(seen, 13 + 6 + 5 + 3 + 2);
}
END_TEST

START_TEST(every_section_has_a_source)
{
    size_t i, k;
    bool amended;

    for (i = 0; i < fci_tables_count(tables); i++) {
        const struct fci_section *section =
            fci_tables_section(tables, i, &amended);
        size_t sources = 0;

        for (k = 0; k < section->n_entries; k++)
            if (strstr(section->entries[k].key, "source")) {
                /* a publication or a rule, not a word or two */
                ck_assert_msg(strlen(section->entries[k].value) > 20,
                              "[%s %s] %s", section->kind, section->name,
                              section->entries[k].key);
                sources++;
            }
        ck_assert_msg(fci_section_entry(section, "source") != NULL, "[%s %s]",
                      section->kind, section->name);
        ck_assert_uint_ge(sources, 1);
    }
}
END_TEST

/* What could not be read again says so, and nothing else does. */
static const struct {
    const char *kind, *name, *key, *mark; /* NULL: no mark */
} marks[] = {
    { "pipe", "copper K", "source", NULL },
    { "pipe", "copper L", "source", NULL },
    { "pipe", "copper M", "source", "walls of type M from memory" },
    { "pipe", "steel sch 40", "source", "3/8 in and 3-1/2 in from memory" },
    { "pipe", "cpvc sdr 11", "source", "mean wall from memory" },
    { "pipe", "pvc sch 40", "source", "average bore from memory" },
    { "pipe", "pex sdr 9", "source", "mean wall from memory" },
    { "pipe", "pex sdr 9", "fittings source", "common practice" },
    { "pipe", "copper en 1057", "source", NULL },
    { "pipe", "stainless en 10312", "source", NULL },
    { "pipe", "stainless en 10312", "c source", "common practice" },
    { "fittings", "threaded", "source", "Angle valve from memory" },
    { "fittings", "soldered copper", "source", "from memory: " },
    { "fittings", "capillary metric", "source", "common practice: " },
    { "fittings", "illinois wrought", "source", NULL },
    { "fittings", "illinois cast", "source", NULL },
    { "fittings", "nfpa 13", "source", "from memory: " },
    { "fixture", "ipc water closet, flush valve", "units source",
      "from memory: " },
    { "fixture", "ipc urinal, flush valve", "units source", "from memory: " },
    { "fixture", "ipc water closet, flush valve", "pressure source", NULL },
    { "fixture", "ipc water closet, flush valve", "quoted source", NULL },
    { "fixture", "ipc water closet, flush valve", "supply source",
      "Table 604.5, from memory" },
    { "fixture", "ipc lavatory", "units source", NULL },
    { "fixture", "ipc bathroom group, flush valve", "units source", NULL },
    { "fixture", "ipc shower", "units source", "from memory: " },
    { "fixture", "upc urinal, flush valve", "units source", NULL },
    { "fixture", "upc water closet, flush valve", "units source",
      "The figures above 1.6 gal from memory" },
    { "fixture", "upc lavatory", "share source", "from memory: " },
    { "demand", "ipc", "source", "all others from memory" },
    { "demand", "upc", "source", "from memory: " },
    { "demand", "nspc", "source", "all others from memory" },
    { "falling", "closet", "source", "from memory: " },
    { "falling", "urinal", "source", "from memory: " },
    { "meter", "displacement", "source", "from memory: " },
    { "valve", "siphonic closet 1.28 gal", "source", "35 psi, from memory" },
    { "valve", "blowout closet 3.5 gal", "source", "3.5 gal, from memory" },
    { "limit", "maximum static", "source", "From memory: IPC 604.8" },
    { "limit", "street main residual", "source", "from memory: " },
    { "fault", "supply pressure", "source", "common practice: " },
    { "fault", "pipe roughness", "source", "common practice: " },
    { "fault", "wrong reading", "source", "common practice: " },
};

START_TEST(memory_is_marked)
{
    bool amended;
    const struct fci_section *section =
        section_of(tables, marks[_i].kind, marks[_i].name, &amended);
    const struct fci_entry *entry = fci_section_entry(section, marks[_i].key);

    ck_assert_ptr_nonnull(entry);
    if (marks[_i].mark) {
        ck_assert_ptr_nonnull(strstr(entry->value, marks[_i].mark));
    } else {
        ck_assert_ptr_null(strstr(entry->value, "memory"));
        ck_assert_ptr_null(strstr(entry->value, "common practice"));
    }
}
END_TEST

/* The rows that were read, and no others, are listed as checked. */
static const struct {
    const char *name, *key, *rows;
} checked[] = {
    { "ipc", "tank checked", "1, 2, 4, 8, 12, 15, 30, 50" },
    { "ipc", "valve checked", "5, 7, 10, 15, 20, 30, 50" },
    { "nspc", "tank checked",
      "3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 120, 140, 160, 180, 200, 225, "
      "250, 300, 400, 500, 750, 1000" },
    { "nspc", "valve checked",
      "5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 120, 140, 160, 180, 200, 225, 250, "
      "300, 400, 500, 750, 1000" },
};

START_TEST(checked_rows_are_listed)
{
    bool amended;
    const struct fci_entry *entry = fci_section_entry(
        section_of(tables, "demand", checked[_i].name, &amended),
        checked[_i].key);

    ck_assert_ptr_nonnull(entry);
    ck_assert_str_eq(entry->value, checked[_i].rows);
}
END_TEST

START_TEST(embedded_files_are_whole)
{
    size_t i, k;

    ck_assert_uint_gt(fci_n_embedded_tables, 0);
    for (i = 0; i < fci_n_embedded_tables; i++) {
        const struct fci_embedded_table *table = &fci_embedded_tables[i];
        const char *start = "; SPDX-License-Identifier: GPL-3.0-or-later\n";

        ck_assert_int_eq(strncmp(table->name, "tables/", 7), 0);
        ck_assert_uint_eq(strlen(table->text), table->length);
        ck_assert_int_eq(strncmp(table->text, start, strlen(start)), 0);
        ck_assert_int_eq(table->text[table->length - 1], '\n');
        for (k = 0; k < i; k++)
            ck_assert_str_ne(table->name, fci_embedded_tables[k].name);
    }
}
END_TEST

/* ---- Look-ups --------------------------------------------------------- */

START_TEST(names_match_in_any_case)
{
    ck_assert_ptr_eq(fci_tables_material(tables, "COPPER l"),
                     fci_tables_material(tables, "copper L"));
    ck_assert_ptr_nonnull(fci_tables_material(tables, "Copper L"));
    ck_assert_ptr_nonnull(
        fci_tables_fixture(tables, FC_UPC, "Water Closet, Flush Valve"));
    ck_assert_ptr_null(fci_tables_material(tables, "copper"));
    ck_assert_ptr_null(fci_tables_material(tables, NULL));
    ck_assert_ptr_null(fci_tables_fixture(tables, FC_UPC, "ipc lavatory"));
    ck_assert_ptr_null(fci_tables_fixture(tables, FC_IPC, "mobile home"));
    ck_assert_ptr_null(fci_tables_meter(tables, ""));
    ck_assert_ptr_null(fci_tables_valve(tables, "urinal"));
    ck_assert_ptr_null(fci_tables_limit(tables, "velocity"));
    ck_assert_ptr_null(fci_tables_falling(tables, FCI_NOT_FALLING));
}
END_TEST

static const struct {
    const char *kind, *word, *nearest;
} near[] = {
    { "pipe", "coper L", "copper L" },
    { "valve", "urinal 0.6 gal", NULL }, /* another volume */
    { "meter", "displacment", "displacement" },
    { "fixture ipc", "lavatry", "lavatory" },
    { "fixture upc", "wash fontain", "wash fountain" },
    { "fixture ipc", "wash fontain", NULL }, /* not in this code */
    { "pipe", "lavatory", NULL },
};

START_TEST(nearest_name_is_found)
{
    const char *kind = near[_i].kind;
    const struct fci_book book =
        strcmp(kind, "pipe") == 0    ? fci_tables_materials(tables)
        : strcmp(kind, "valve") == 0 ? fci_tables_valves(tables)
        : strcmp(kind, "meter") == 0 ? fci_tables_meter_names(tables)
        : strcmp(kind, "fixture ipc") == 0
            ? fci_tables_fixtures(tables, FC_IPC)
            : fci_tables_fixtures(tables, FC_UPC);

    ck_assert_pstr_eq(fci_book_nearest(&book, near[_i].word),
                      near[_i].nearest);
}
END_TEST

/* A size is a label: DN32 is 1-1/4 in, but 76.1 mm is not 3 in. */
static const struct {
    const char *material, *size, *label; /* NULL: not made */
} sizes[] = {
    { "copper L", "1-1/4 in", "1-1/4 in" },
    { "copper L", "1 1/4 in", "1-1/4 in" },
    { "copper L", "1.25 in", "1-1/4 in" },
    { "copper L", "DN32", "1-1/4 in" },
    { "steel sch 40", "DN100", "4 in" },
    { "steel sch 40", "6 in", "6 in" },
    { "steel sch 40", "8 in", NULL },
    { "steel sch 40", "1/4 in", NULL },
    { "copper M", "5/8 in", NULL },
    { "copper L", "28 mm", NULL },
    { "copper en 1057", "28 mm", "28 mm" },
    { "copper en 1057", "66.7 mm", "66.7 mm" },
    { "copper en 1057", "76.1 mm", "76.1 mm" },
    { "copper en 1057", "3 in", NULL },
    { "copper en 1057", "18 mm", NULL },
    { "stainless en 10312", "18 mm", "18 mm" },
};

START_TEST(sizes_are_labels)
{
    const struct fci_size *size =
        fci_material_size(fci_tables_material(tables, sizes[_i].material),
                          size_of(sizes[_i].size));

    if (sizes[_i].label)
        ck_assert_str_eq(size->label, sizes[_i].label);
    else
        ck_assert_ptr_null(size);
}
END_TEST

START_TEST(lengths_tell_what_is_not_printed)
{
    const struct fci_fittings *soldered =
        fci_tables_fittings(tables, "soldered copper");
    bool column = false;

    /* IPC Appendix E, from memory: tee branch of 1 in 4.5 ft */
    expect(
        fci_fittings_length(soldered, "Tee Branch", size_of("1 in"), &column),
        4.5 * FOOT);
    ck_assert(column);
    column = false;
    ck_assert(isnan(fci_fittings_length(soldered, "gate valve",
                                        size_of("1 in"), &column)));
    ck_assert(column); /* but none for this size */
    column = false;
    ck_assert(isnan(
        fci_fittings_length(soldered, "elbow 90", size_of("8 in"), &column)));
    ck_assert(column);
    ck_assert(isnan(fci_fittings_length(soldered, "globe valve",
                                        size_of("1 in"), &column)));
    ck_assert(!column);
}
END_TEST

/* ---- Amending --------------------------------------------------------- */

START_TEST(a_section_replaces_the_keys_it_gives)
{
    struct own own = read_good("[PIPE Copper l]\n"
                               "source = a rule of the invented town\n"
                               "velocity limit = 5 ft/s\n"
                               "1 1/4 in = bore 1.2 in\n"
                               "8 in = 8.125 in x 0.2 in\n");
    const struct fci_material *was = fci_tables_material(tables, "copper L");
    const struct fci_material *is =
        fci_tables_material(own.tables, "copper L");
    const struct fci_section *section;
    bool amended;
    size_t i;

    expect(is->velocity_limit, 5 * FOOT);
    expect(fci_material_size(is, size_of("DN32"))->bore, 1.2 * INCH);
    expect(fci_material_size(is, size_of("8 in"))->bore, 7.725 * INCH);
    ck_assert_str_eq(is->sizes[is->n_sizes - 1].label, "8 in");
    ck_assert_uint_eq(is->n_sizes, was->n_sizes + 1);
    for (i = 0; i < was->n_sizes; i++)
        if (was->sizes[i].nominal < 1.2 * INCH
            || was->sizes[i].nominal > 1.3 * INCH)
            ck_assert(is->sizes[i].bore == was->sizes[i].bore);
    ck_assert(is->c_new == was->c_new);
    ck_assert_str_eq(is->c_source, was->c_source);
    ck_assert_str_eq(is->head.source, "a rule of the invented town");
    ck_assert(is->head.amended);
    ck_assert(!was->head.amended);
    ck_assert_uint_eq(fci_tables_count(own.tables), fci_tables_count(tables));
    section = section_of(own.tables, "pipe", "copper L", &amended);
    ck_assert(amended);
    ck_assert_ptr_eq(section, is->head.section);
    section_of(own.tables, "pipe", "copper K", &amended);
    ck_assert(!amended);
    free_own(&own);
}
END_TEST

START_TEST(a_row_between_others_finds_its_place)
{
    struct own own = read_good("[pipe cpvc sdr 11]\n"
                               "source = an invented data sheet\n"
                               "3/8 in = bore 0.35 in\n"
                               "[demand ipc]\n"
                               "source = an invented measurement\n"
                               "10.0 = 14.6 gpm, 25 gpm\n"
                               "55 = 30 gpm, 52 gpm\n");
    const struct fci_material *cpvc =
        fci_tables_material(own.tables, "cpvc sdr 11");
    const struct fci_curve_rows *was = fci_tables_demand(tables, FC_IPC);
    const struct fci_curve_rows *is = fci_tables_demand(own.tables, FC_IPC);
    size_t i;

    ck_assert_str_eq(cpvc->sizes[0].label, "3/8 in");
    ck_assert_uint_eq(is->n, was->n + 1);
    for (i = 0; i < is->n; i++) {
        if (is->units[i] > 9.5 && is->units[i] < 10.5)
            expect(is->valve[i], 25 * GPM);
        if (is->units[i] > 54 && is->units[i] < 56)
            expect(is->tank[i], 30 * GPM);
        ck_assert(i == 0 || is->units[i] > is->units[i - 1]);
    }
    free_own(&own);
}
END_TEST

START_TEST(entries_can_be_added)
{
    struct own own = read_good("[pipe old lead]\n"
                               "source = an invented survey\n"
                               "fittings = old bends\n"
                               "c new = 130\n"
                               "c aged = 90\n"
                               "velocity limit = 1.5 m/s\n"
                               "DN20 = bore 20 mm\n"
                               "1 in = 34 mm x 4.5 mm\n"
                               "[fittings old bends]\n"
                               "source = an invented survey\n"
                               "columns = elbow 90\n"
                               "1 in = 0.5 m\n"
                               "[fixture IPC trough urinal, flush valve]\n"
                               "source = an invented rule\n"
                               "public = 8\n"
                               "flushes = yes\n"
                               "valve = urinal 2.0 gal\n"
                               "[valve urinal 2.0 gal]\n"
                               "source = an invented data sheet\n"
                               "full flush = 2 gal\n"
                               "flow = 15 gpm at 20 psi\n"
                               "[minimum 20 psi]\n"
                               "source = an invented rule\n"
                               "pressure = 20 psi\n"
                               "[meter turbine]\n"
                               "source = an invented data sheet\n"
                               "2 in = 7 psi at 160 gpm\n");
    const struct fci_material *lead =
        fci_tables_material(own.tables, "old lead");
    const struct fci_fixture_kind *trough =
        fci_tables_fixture(own.tables, FC_IPC, "trough urinal, flush valve");
    const struct fci_quoted_minimum *minima;

    ck_assert_str_eq(lead->title, "old lead");
    ck_assert_str_eq(lead->c_source, "an invented survey");
    ck_assert_str_eq(lead->fittings->head.name, "old bends");
    expect(fci_material_size(lead, size_of("3/4 in"))->bore, 0.020);
    expect(fci_material_size(lead, size_of("1 in"))->bore, 0.025);
    expect(trough->units[FC_PUBLIC].total, 8);
    expect(trough->units[FC_PUBLIC].cold, 8);
    ck_assert(isnan(trough->pressure));
    ck_assert_str_eq(trough->pressure_source, "an invented rule");
    ck_assert_ptr_nonnull(fci_tables_valve(own.tables, trough->valve));
    ck_assert_uint_eq(fci_tables_minima(own.tables, &minima), 5);
    expect(minima[1].pressure, 20 * PSI); /* in its place */
    ck_assert_str_eq(minima[1].head.name, "20 psi");
    expect(fci_tables_meter(own.tables, "turbine")->sizes[0].loss, 7 * PSI);
    ck_assert_uint_eq(fci_tables_count(own.tables),
                      fci_tables_count(tables) + 6);
    free_own(&own);
}
END_TEST

START_TEST(what_is_usual_of_a_fault_can_be_amended)
{
    struct own own = read_good("[fault Height]\n"
                               "source = an invented survey\n"
                               "prior = 2\n"
                               "inlet range = -1 .. 2 m\n");
    const struct fci_usual_fault *was = fci_tables_fault(tables, FC_HEIGHT);
    const struct fci_usual_fault *is = fci_tables_fault(own.tables, FC_HEIGHT);

    ck_assert_str_eq(is->head.source, "an invented survey");
    expect(is->prior.nominal, 2);
    expect(-is->inlet.low, 1);
    expect(is->inlet.high, 2);
    ck_assert(is->range.low == was->range.low);
    ck_assert(is->scale.nominal == was->scale.nominal);
    ck_assert(!is->shut.given && !is->pipe_prior.given);
    ck_assert_uint_eq(fci_tables_count(own.tables), fci_tables_count(tables));
    free_own(&own);
}
END_TEST

START_TEST(another_table_of_fittings_can_be_chosen)
{
    struct own own = read_good("[pipe copper L]\n"
                               "source = an invented order\n"
                               "fittings = illinois wrought\n");
    bool column;

    /* 77 Ill. Adm. Code 890, Appendix A, Table Q: 90 ell, 1/2 in, 0.5 ft */
    expect(fci_fittings_length(
               fci_tables_material(own.tables, "copper L")->fittings,
               "elbow 90", size_of("1/2 in"), &column),
           0.5 * FOOT);
    free_own(&own);
}
END_TEST

START_TEST(another_demand_table_can_be_used)
{
    struct own own = read_good("[demand ipc]\n"
                               "source = an invented adoption\n"
                               "use = NSPC\n");
    const struct fci_curve_rows *curve = fci_tables_demand(own.tables, FC_IPC);
    size_t i;

    ck_assert_str_eq(curve->head.name, "ipc");
    ck_assert_str_eq(curve->head.source, "an invented adoption");
    /* New Jersey plumbing subcode, Table B.5.4, first and last row that were
       read: 3 units 3 gpm, none; 1000 units 210 gpm both */
    ck_assert_uint_eq(curve->n, 37);
    expect(curve->units[0], 3);
    expect(curve->tank[0], 3 * GPM);
    ck_assert(isnan(curve->valve[0]));
    expect(curve->units[36], 1000);
    expect(curve->tank[36], 210 * GPM);
    expect(curve->valve[36], 210 * GPM);
    for (i = 0; i < curve->n; i++)
        ck_assert(curve->units[i] > 2.5); /* none of the rows replaced */
    free_own(&own);
}
END_TEST

/* ---- Refusals --------------------------------------------------------- */

#define PIPE                                                                  \
    "[pipe a]\nsource = s\nfittings = threaded\nc new = 140\nc aged = 130\n"  \
    "velocity limit = 8 ft/s\n"
#define ARRESTERS                                                             \
    "[arresters pdi-wh201]\nsource = s\n"                                     \
    "next size above = 70 psi\n"

/* A section of a tables file, by which it is one. */
#define KNOWN "[limit maximum static]\nsource = s\npressure = 80 psi\n"

static const struct {
    const char *text;
    int line;
    const char *message;
} refusals[] = {
    { "[pipe copper L]\nvelocity limit = 5 ft/s\n", 1,
      "[pipe copper L] lacks \"source\"; a text that tells where its figures "
      "come from is needed" },
    { "[secret a]\nsource = secret\n", 0,
      "is no tables file: none of its sections is of a kind that tables have; "
      "one such as [pipe NAME] or [valve NAME] is expected" },
    { "secret\n", 0,
      "is no tables file: none of its sections is of a kind that tables have; "
      "one such as [pipe NAME] or [valve NAME] is expected" },
    { "[pipes a]\nsource = s\n" KNOWN, 1,
      "[pipes a] is not a known kind of table section; did you mean "
      "\"pipe\"?" },
    { "[cistern a]\nsource = s\n" KNOWN, 1,
      "[cistern a] is not a known kind of table section; pipe, fittings, "
      "fixture, demand, falling, meter, valve, minimum, limit, usual, fault, "
      "arresters or judgment is expected" },
    { "[fixture lavatory]\nsource = s\n", 1,
      "[fixture lavatory] names no code; [fixture ipc lavatory] or [fixture "
      "upc lavatory] is expected" },
    { "[minimum]\nsource = s\npressure = 3 psi\n", 1,
      "[minimum] has no name; a name is needed" },
    { "[demand local]\nsource = s\n", 1,
      "[demand local] has a name that nothing uses; ipc, upc or nspc is "
      "expected" },
    { "[limit velocity]\nsource = s\n", 1,
      "[limit velocity] has a name that nothing uses; maximum static, street "
      "main residual or longest interval is expected" },
    { "[falling bidet]\nsource = s\n", 1,
      "[falling bidet] has a name that nothing uses; closet or urinal is "
      "expected" },
    /* pipes */
    { PIPE "1 in = bore 1 in\nmelting point = 3 mm\n", 8,
      "[pipe a] has no key \"melting point\"; its keys are title, source, "
      "note, fittings source, fittings, c new, c aged, c old, bore loss, "
      "old source, c source, velocity limit, velocity source, roughness, "
      "roughness source, elastic modulus gpa, poisson ratio, modulus "
      "source, not stocked, stock source, dn" },
    { PIPE "1 in = bore 1 in of 1 in\n", 7,
      "[pipe a] 1 in \"bore 1 in of 1 in\"; a tube with a wall and a bore is "
      "expected" },
    { PIPE "1 in = bore 1 in of 3 psi\n", 7,
      "[pipe a] 1 in \"3 psi\" is a pressure; a length is needed, such as "
      "12 ft or 3.5 m" },
    { PIPE "1 in = bore 1 in\nelastic modulus gpa = 0\n", 8,
      "[pipe a] elastic modulus gpa \"0\"; a number above 0 is expected" },
    { ARRESTERS "20 = G\n", 4,
      "[arresters pdi-wh201] 20 \"G\"; AA, A, B, C, D, E or F is expected" },
    { ARRESTERS "20 = A\n", 4,
      "[arresters pdi-wh201] 20 is out of step with its neighbor; sizes that "
      "grow with the fixture units are expected" },
    { "[arresters of mine]\nsource = s\n", 1,
      "[arresters of mine] has a name that nothing uses; pdi-wh201 is "
      "expected" },
    { PIPE "1 in = bore 1 in\nc news = 3\n", 8,
      "[pipe a] has no key \"c news\"; did you mean \"c new\"?" },
    { PIPE, 1,
      "[pipe a] has no rows; a key for each size, such as 3/4 in, is needed" },
    { PIPE "1 in = 1.3 in\n", 7,
      "[pipe a] 1 in \"1.3 in\"; outside diameter x wall, such as 0.875 in x "
      "0.045 in, or bore and a length is expected" },
    { PIPE "1 in = 1.3 in x 0.65 in\n", 7,
      "[pipe a] 1 in \"1.3 in x 0.65 in\"; a tube with a wall and a bore is "
      "expected" },
    { PIPE "1 in = 1.3 in x -0.1 in\n", 7,
      "[pipe a] 1 in \"1.3 in x -0.1 in\"; a tube with a wall and a bore is "
      "expected" },
    { PIPE "1 in = bore 2 gpm\n", 7,
      "[pipe a] 1 in \"2 gpm\" is a flow; a length is needed, such as 12 ft "
      "or 3.5 m" },
    { PIPE "1-1/4 in = bore 1.2 in\nDN32 = bore 1.3 in\n", 8,
      "[pipe a] dn32 is the same row as \"1-1/4 in\"; each row once is "
      "expected" },
    { PIPE "1 in = bore 1 in\n2 in = bore 0.9 in\n", 8,
      "[pipe a] 2 in is out of step with \"1 in\"; bores that grow with the "
      "size are expected" },
    { PIPE "1 gal = bore 1 in\n", 7,
      "[pipe a] 1 gal is not a key of a row; a nominal size is expected" },
    { "[pipe copper L]\nsource = s\n1/2 in = bore 0.7 in\n", 3,
      "[pipe copper L] 1/2 in is out of step with \"5/8 in\"; bores that grow "
      "with the size are expected" },
    { "[pipe copper L]\nsource = s\n1-1/4 in = bore 1.2 in\n1 1/4 in = bore "
      "1.2 in\n",
      4,
      "[pipe copper L] 1 1/4 in is the same row as \"1-1/4 in\"; each row "
      "once is expected" },
    { "[pipe copper L]\nsource = s\nc new = 120\n", 3,
      "[pipe copper L] c new makes the aged pipe smoother than the new one; c "
      "aged no larger than c new is expected" },
    { "[pipe copper L]\nsource = s\nc aged = 0\n", 3,
      "[pipe copper L] c aged \"0\"; a number above 0 is expected" },
    { "[pipe copper L]\nsource = s\nfittings = soldered coper\n", 3,
      "[pipe copper L] fittings \"soldered coper\" is not known; did you mean "
      "\"soldered copper\"?" },
    { "[pipe copper L]\nsource = s\nfittings = x\n", 3,
      "[pipe copper L] fittings \"x\" is not known; the name of a [fittings] "
      "section is expected" },
    { PIPE "1 in = bore 1 in\nnot stocked = 1 in, 7 in\n", 8,
      "[pipe a] not stocked names 7 in, which is no size of this table; sizes "
      "of its rows are expected" },
    { PIPE "1 in = bore 1 in\nnot stocked = some\n", 8,
      "[pipe a] not stocked \"some\" does not start with a number; a nominal "
      "size is needed, such as 1-1/4 in or DN32" },
    { "[pipe copper L]\nsource = s\ndn = perhaps\n", 3,
      "[pipe copper L] dn \"perhaps\"; yes or no is expected" },
    /* fittings */
    { "[fittings a]\nsource = s\n1 in = 1 ft\n", 1,
      "[fittings a] lacks \"columns\"; the names of the fittings, separated "
      "by commas, are needed" },
    { "[fittings a]\nsource = s\ncolumns = bend, Bend\n1 in = 1 ft, 1 ft\n", 3,
      "[fittings a] columns names \"Bend\" twice; each fitting once is "
      "expected" },
    { "[fittings a]\nsource = s\ncolumns = bend, tee\n1 in = 1 ft\n", 4,
      "[fittings a] 1 in has 1 values for 2 columns; a length, or a dash, for "
      "each column is expected" },
    { "[fittings a]\nsource = s\ncolumns = bend\n1 in = -1 ft\n", 4,
      "[fittings a] 1 in \"-1 ft\"; a length of 0 or more, or a dash, is "
      "expected" },
    { "[fittings threaded]\nsource = s\ncolumns = bend\n", 3,
      "[fittings threaded] columns names 1 fittings where the built-in rows "
      "have 9; a table under a name of its own is expected" },
    /* fixtures */
    { "[fixture ipc a]\nsource = s\npublic = 3\noutlet = 5 gpm\n", 4,
      "[fixture ipc a] outlet \"5 gpm\"; a flow at a pressure is expected, "
      "such "
      "as 25 gpm at 25 psi" },
    { "[fixture ipc a]\nsource = s\npublic = 3\nflushes = yes\n"
      "valve = urinal 1.0 gal\noutlet = 5 gpm at 8 psi\n",
      6,
      "[fixture ipc a] outlet is given with a flush valve, which has a "
      "\"flow\" of its own; \"flushes = no\" is expected with it" },
    { "[fixture ipc a]\nsource = s\npublic = 3 cold\n", 3,
      "[fixture ipc a] public \"3 cold\"; a number of fixture units, such as "
      "8 or 1.5 cold, 1.5 hot, 2.0 total, is expected" },
    { "[fixture ipc a]\nsource = s\npublic = 3 cold, 2 total\n", 3,
      "[fixture ipc a] public \"3 cold, 2 total\"; a number of fixture units, "
      "such as 8 or 1.5 cold, 1.5 hot, 2.0 total, is expected" },
    { "[fixture ipc a]\nsource = s\npublic = 1 cold, 1 hot, 3 total\n", 3,
      "[fixture ipc a] public \"1 cold, 1 hot, 3 total\"; a number of fixture "
      "units, such as 8 or 1.5 cold, 1.5 hot, 2.0 total, is expected" },
    { "[fixture ipc a]\nsource = s\npublic = -3\n", 3,
      "[fixture ipc a] public \"-3\"; a number of fixture units, such as 8 or "
      "1.5 cold, 1.5 hot, 2.0 total, is expected" },
    { "[fixture upc a]\nsource = s\npublic = 3\npublic above = 4\n", 4,
      "[fixture upc a] public above tells no volume; \"volume\", a flush "
      "volume, is needed" },
    { "[fixture upc a]\nsource = s\npublic = 3\nvolume = 1 gal\n", 4,
      "[fixture upc a] volume divides no units; \"public above\" or the like "
      "is needed" },
    { "[fixture upc a]\nsource = s\npublic above = 3\nvolume = 1 gal\n", 3,
      "[fixture upc a] public above is given alone; \"public\" is needed" },
    { "[fixture upc a]\nsource = s\nflushes = yes\n", 1,
      "[fixture upc a] flushes but lacks \"valve\"; the valve class taken "
      "where none is named is needed" },
    { "[fixture upc a]\nsource = s\nbalanced = yes\n", 3,
      "[fixture upc a] balanced is given for a fixture that mixes no hot and "
      "cold water; \"mixes = yes\" is expected with it" },
    { "[fixture upc a]\nsource = s\nvalve = urinal 1.0 gal\n", 3,
      "[fixture upc a] valve \"urinal 1.0 gal\"; a valve only beside flushes "
      "= yes is expected" },
    { "[fixture upc a]\nsource = s\nflushes = yes\nvalve = urinal 1 gal\n", 4,
      "[fixture upc a] valve \"urinal 1 gal\" is not known; did you mean "
      "\"urinal 1.0 gal\"?" },
    { "[fixture upc a]\nsource = s\npressure = 0 psi\n", 3,
      "[fixture upc a] pressure \"0 psi\"; a pressure above 0 is expected" },
    { "[fixture upc a]\nsource = s\nfalls as = bidet\n", 3,
      "[fixture upc a] falls as \"bidet\"; closet or urinal is expected" },
    { "[fixture upc a]\nsource = s\nhot share = 4/3\n", 3,
      "[fixture upc a] hot share \"4/3\"; a figure from 0 to 1 is expected" },
    /* demand */
    { "[demand ipc]\nsource = s\n10 = 14 gpm\n", 3,
      "[demand ipc] 10 \"14 gpm\"; a flow above 0, or a dash, for flush tanks "
      "and another for flush valves, such as 14.6 gpm, 27.0 gpm, is "
      "expected" },
    { "[demand ipc]\nsource = s\n10 = 14 gpm, 9 psi\n", 3,
      "[demand ipc] 10 \"9 psi\" is a pressure; a flow is needed, such as 25 "
      "gpm or 1.6 L/s" },
    { "[demand ipc]\nsource = s\n10 = -, 27 gpm\n", 3,
      "[demand ipc] 10 has a tank flow out of step with \"9\"; flows that do "
      "not fall, with no dash after the first, are expected" },
    { "[demand ipc]\nsource = s\n10 = 14.6 gpm, 29 gpm\n", 3,
      "[demand ipc] 10 has a valve flow out of step with \"11\"; flows that "
      "do not fall, with no dash after the first, are expected" },
    { "[demand ipc]\nsource = s\n10 in = 14.6 gpm, 29 gpm\n", 3,
      "[demand ipc] 10 in is not a key of a row; a number is expected" },
    { "[demand ipc]\nsource = s\nuse = nspcc\n", 3,
      "[demand ipc] use \"nspcc\" is not known; did you mean \"nspc\"?" },
    { "[demand ipc]\nsource = s\nuse = ipc\n", 3,
      "[demand ipc] use \"ipc\" uses another table itself; one with rows of "
      "its own is expected" },
    { "[demand ipc]\nsource = s\nuse = nspc\n10 = 14.6 gpm, 27 gpm\n", 4,
      "[demand ipc] 10 is given with \"use\"; either rows or another table to "
      "use are expected" },
    { "[falling closet]\nsource = s\n7 = 300\n", 3,
      "[falling closet] 7 is not the next number of valves; 6 is expected" },
    { "[falling closet]\nsource = s\n3 = 60\n", 3,
      "[falling closet] 3 \"60\"; more units than for one valve less is "
      "expected" },
    /* meters, valves, pressures */
    { "[meter displacement]\nsource = s\n1 in = 15 psi\n", 3,
      "[meter displacement] 1 in \"15 psi\"; a pressure at a flow, both above "
      "0, such as 15 psi at 20 gpm, is expected" },
    { "[meter displacement]\nsource = s\n1 in = 15 gpm at 3 psi\n", 3,
      "[meter displacement] 1 in \"15 gpm\" is a flow; a pressure is needed, "
      "such as 62 psi or 4.3 bar" },
    { "[valve a]\nsource = s\nfull flush = 1 gal\nreduced flush = 1 gal\n", 4,
      "[valve a] reduced flush makes the reduced flush no smaller than the "
      "full one; a smaller one is expected" },
    { "[valve urinal 1.0 gal]\nsource = s\nflow = 0 gpm at 3 psi\n", 3,
      "[valve urinal 1.0 gal] flow \"0 gpm at 3 psi\"; a flow above 0 is "
      "expected" },
    { "[valve a]\nsource = s\n1 in = 3\n", 3,
      "[valve a] has no key \"1 in\"; its keys are minimum flowing, maximum "
      "flowing, maximum static, flow, full flush, reduced flush, reduced "
      "share, closing time, supply size, hygiene flush, regulated, flushes "
      "per use, sensor, power, held, sensor delay, short stay, long stay, "
      "flushes per battery set, battery life, closes at" },
    { "[limit maximum static]\nsource = s\npressure = -80 psi\n", 3,
      "[limit maximum static] pressure \"-80 psi\"; a pressure above 0 is "
      "expected" },
    /* faults */
    { "[fault gremlin]\nsource = s\n", 1,
      "[fault gremlin] has a name that nothing uses; supply pressure, supply "
      "sag, reducer setting, pipe roughness, blocked, smaller size, larger "
      "size, height, stop throttled, valve rate, running outlet, pump off, "
      "pump weak, holds back, loses less, gauge off, changed, wrong reading, "
      "valve volume or prv not listed is expected" },
    { "[fault blocked]\nsource = s\nprior = 0\n", 3,
      "[fault blocked] prior \"0\"; a number above 0 is expected" },
    { "[fault blocked]\nsource = s\npipe prior = 1e999\n", 3,
      "[fault blocked] pipe prior \"1e999\" is too large; a number is needed, "
      "such as 100 or 50%" },
    { "[fault pipe roughness]\nsource = s\nrun prior = nan\n", 3,
      "[fault pipe roughness] run prior \"nan\" does not start with a number; "
      "a number is needed, such as 100 or 50%" },
    { "[fault gauge off]\nsource = s\nscale = -1 psi\n", 3,
      "[fault gauge off] scale \"-1 psi\"; a pressure above 0 is expected" },
    { "[fault running outlet]\nsource = s\nmost = 60 psi\n", 3,
      "[fault running outlet] most \"60 psi\" is a pressure; a flow is "
      "needed, such as 25 gpm or 1.6 L/s" },
    { "[fault height]\nsource = s\nrange = 60 .. -60 ft\n", 3,
      "[fault height] range \"60 .. -60 ft\" runs downward; a range starts "
      "with its lower figure" },
    { "[fault height]\nsource = s\ninlet range = 1 .. 25 ft\n", 3,
      "[fault height] inlet range \"1 .. 25 ft\"; a range around 0, where "
      "nothing is wrong, is expected" },
    { "[fault valve rate]\nsource = s\nrange = 0.2 .. 0.9\n", 3,
      "[fault valve rate] range \"0.2 .. 0.9\"; a range around 1, where "
      "nothing is wrong, is expected" },
    { "[fault loses less]\nsource = s\nrange = 1\n", 3,
      "[fault loses less] range \"1\"; a range from a low end to a higher one "
      "is expected" },
    { "[fault valve rate]\nsource = s\nscale = 2\n", 3,
      "[fault valve rate] has no key \"scale\"; its keys are title, source, "
      "note, prior, range" },
    { "[minimum a]\nsource = s\n", 1,
      "[minimum a] lacks \"pressure\"; a pressure is needed" },
};

START_TEST(what_is_wrong_is_said)
{
    struct own own = read_own(refusals[_i].text);
    fc_diagnostic message;

    ck_assert_int_eq(own.status, FC_EINPUT);
    ck_assert_ptr_null(own.tables);
    ck_assert_uint_ge(fc_diagnostics_count(own.messages), 1);
    message = fc_diagnostics_at(own.messages, 0);
    ck_assert_str_eq(message.text, refusals[_i].message);
    ck_assert_str_eq(message.file, own.path);
    ck_assert_int_eq(message.line, refusals[_i].line);
    ck_assert_uint_eq(fc_diagnostics_count(own.messages), 1);
    free_own(&own);
}
END_TEST

START_TEST(all_that_is_wrong_is_said)
{
    struct own own = read_own("[pipe copper L]\n"
                              "source = s\n"
                              "c aged = 150\n"
                              "velocity limit = 5 psi\n"
                              "[meter displacement]\n"
                              "1 in = 15 psi\n"
                              "[limit maximum static]\n"
                              "source = s\n"
                              "pressure = 80 ft\n");

    ck_assert_int_eq(own.status, FC_EINPUT);
    ck_assert_uint_eq(fc_diagnostics_count(own.messages), 5);
    free_own(&own);
}
END_TEST

START_TEST(a_missing_file_is_said)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    struct fci_tables *kept = tables;

    ck_assert_int_eq(
        fci_tables_read("/nonexistent/tables.ini", &kept, messages), FC_EIO);
    ck_assert_ptr_eq(kept, tables);
    ck_assert_uint_eq(fc_diagnostics_count(messages), 1);
    ck_assert_str_eq(fc_diagnostics_at(messages, 0).file,
                     "/nonexistent/tables.ini");
    fc_diagnostics_free(messages);
    fci_tables_free(NULL);
}
END_TEST

/* ---- All of it -------------------------------------------------------- */

#define LOOP(tcase, test, list)                                               \
    tcase_add_loop_test(tcase, test, 0, (int)COUNT(list))

static TCase *
new_case(Suite *suite, const char *name)
{
    TCase *tcase = tcase_create(name);

    tcase_add_unchecked_fixture(tcase, read_tables, free_tables);
    suite_add_tcase(suite, tcase);
    return tcase;
}

static Suite *
tables_suite(void)
{
    Suite *suite = suite_create("tables");
    TCase *tcase = new_case(suite, "built-in");

    tcase_add_test(tcase, every_row_is_read);
    tcase_add_test(tcase, every_section_has_a_source);
    LOOP(tcase, memory_is_marked, marks);
    LOOP(tcase, checked_rows_are_listed, checked);
    tcase_add_test(tcase, embedded_files_are_whole);
    tcase = new_case(suite, "look-ups");
    tcase_add_test(tcase, names_match_in_any_case);
    LOOP(tcase, nearest_name_is_found, near);
    LOOP(tcase, sizes_are_labels, sizes);
    tcase_add_test(tcase, lengths_tell_what_is_not_printed);
    tcase = new_case(suite, "amending");
    tcase_add_test(tcase, a_section_replaces_the_keys_it_gives);
    tcase_add_test(tcase, a_row_between_others_finds_its_place);
    tcase_add_test(tcase, entries_can_be_added);
    tcase_add_test(tcase, what_is_usual_of_a_fault_can_be_amended);
    tcase_add_test(tcase, another_table_of_fittings_can_be_chosen);
    tcase_add_test(tcase, another_demand_table_can_be_used);
    tcase = new_case(suite, "refusals");
    LOOP(tcase, what_is_wrong_is_said, refusals);
    tcase_add_test(tcase, all_that_is_wrong_is_said);
    tcase_add_test(tcase, a_missing_file_is_said);
    return suite;
}

int
main(void)
{
    return run_suite(tables_suite());
}
