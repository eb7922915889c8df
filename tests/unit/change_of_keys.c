/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/change_of_keys.c -- every key of every kind of part, set over the
 * files of corpus/, by a case, and step by step.
 *
 * The values are those that the files have for the key.  The site must be
 * worked out, to the last bit of its report, as the one whose file has the
 * value in the line of the key: the text is edited here, by nothing of the
 * library but the numbers of its lines.  A flow test keeps the static pressure
 * of its day, which is written beside that of today.
 */
#include "generators/change_sites.h"
#include "generators/sites.h"
#include "ini/ini.h"
#include "site/parts.h"
#include "site/reader.h"
#include "unit/change_suite.h"
#include "unit/report_data.h"

#include <glob.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <strings.h>

#define MOST_VALUES 4000
#define MOST_SITES 150
#define TRIES 16 /* then one is enough */
#define MOST_TRIES 600

static const fc_check_options few = { .threads = 1, .most_states = 64 };

/* What some file has for a key. */
static struct value {
    enum fci_kind kind;
    char key[40], text[200];
} values[MOST_VALUES];
static size_t n_values;

static struct seed {
    const char *path;
    char *text;
    struct fci_ini ini;
} seeds[MOST_SITES];
static size_t n_seeds;
static glob_t files;

/* ---- What the files have ---------------------------------------------- */

static void
add_value(enum fci_kind kind, const struct fci_entry *entry)
{
    struct value *v = &values[n_values];

    if (strlen(entry->key) >= sizeof v->key || strlen(entry->value) >= 150
        || strchr(entry->value, '"'))
        return;
    *v = (struct value){ .kind = kind };
    strcpy(v->key, entry->key);
    strcpy(v->text, entry->value);
    if (v->text[strcspn(v->text, ";#")])
        snprintf(v->text, sizeof v->text, "\"%s\"", entry->value);
    for (size_t i = 0; i < n_values; i++)
        if (values[i].kind == kind && strcmp(values[i].key, v->key) == 0
            && strcmp(values[i].text, v->text) == 0)
            return;
    n_values++;
    ck_assert_uint_lt(n_values, MOST_VALUES);
}

static char *
text_of(const char *path)
{
    FILE *file = fopen(path, "rb");
    char *text = calloc(1, 65536);

    if (file)
        text[fread(text, 1, 65535, file)] = '\0';
    if (file)
        fclose(file);
    return text;
}

/* The kind of a part may have two words, of which a section has the second in
 * its name until a site is made of it. */
static void
take_heading(struct fci_section *s)
{
    for (int kind = 0; kind < FCI_KINDS; kind++) {
        const char *word = fci_part_kinds[kind].word;
        const char *second = strchr(word, ' ');
        const size_t n = second ? strlen(second + 1) : 0;

        if (!second || strlen(s->kind) != (size_t)(second - word)
            || strncasecmp(s->kind, word, strlen(s->kind)) != 0
            || strncasecmp(s->name, second + 1, n) != 0
            || (s->name[n] && s->name[n] != ' '))
            continue;
        s->kind = word;
        s->name += n + (s->name[n] == ' ');
    }
}

static void
take_seed(const char *path)
{
    struct seed *seed = &seeds[n_seeds];
    const char *name = strrchr(path, '/') + 1;

    *seed = (struct seed){ .path = path, .text = text_of(path) };
    if (fci_ini_read_file(&seed->ini, path, NULL) == FC_OK) {
        for (size_t i = 0; i < seed->ini.n_sections; i++) {
            struct fci_section *s = &seed->ini.sections[i];
            enum fci_kind kind;

            take_heading(s);
            kind = fci_reader_kind(s);
            for (size_t k = 0; k < s->n_entries && kind < FCI_KINDS; k++)
                if (!s->entries[k].headed)
                    add_value(kind, &s->entries[k]);
        }
        if (strncmp(name, "bad-", 4) != 0 && strncmp(name, "odd-", 4) != 0
            && !strstr(seed->text, "\r")
            && !strstr(seed->text, "\n;;tables")) {
            n_seeds++;
            ck_assert_uint_lt(n_seeds, MOST_SITES);
            return;
        }
    }
    fci_ini_free(&seed->ini);
    free(seed->text);
}

static void
find_seeds(void)
{
    static const char *const folders[] = { "tests/corpus", "tests/cases" };
    const char *srcdir = getenv("srcdir");
    char pattern[1024];

    for (int i = 0; i < COUNT(folders); i++) {
        snprintf(pattern, sizeof pattern, "%s/%s/*.ini", srcdir ? srcdir : ".",
                 folders[i]);
        glob(pattern, i > 0 ? GLOB_APPEND : 0, NULL, &files);
    }
    for (size_t i = 0; i < files.gl_pathc; i++)
        take_seed(files.gl_pathv[i]);
}

static void
forget_seeds(void)
{
    for (size_t i = 0; i < n_seeds; i++) {
        fci_ini_free(&seeds[i].ini);
        free(seeds[i].text);
    }
    globfree(&files);
}

/* ---- The file with the value in it ------------------------------------ */

static const struct fci_entry *
entry_of(const struct fci_section *s, enum fci_kind kind, const char *key)
{
    const struct fci_part_kind *of = &fci_part_kinds[kind];

    for (size_t i = 0; i < s->n_entries; i++)
        if (strcmp(fci_fields_key(of->fields, of->n_fields, s->entries[i].key),
                   key)
            == 0)
            return &s->entries[i];
    return NULL;
}

/* The static pressure of the day of the flow test, which the file has as that
 * of today; NULL: it has none, or another key is set. */
static const char *
of_the_test(const struct fci_section *s, const char *key)
{
    const struct fci_entry *now = fci_section_entry(s, "static");

    return fci_reader_kind(s) == FCI_SOURCE && strcmp(key, "static") == 0
                   && now && !fci_section_entry(s, "test static")
                   && (fci_section_entry(s, "residual")
                       || fci_section_entry(s, "flow test"))
               ? now->value
               : NULL;
}

/* A section of several floors may stand there in blocks, which all have it. */
static char *
edited(const struct seed *seed, const struct fci_section *section,
       const char *key, const char *value)
{
    const enum fci_kind kind = fci_reader_kind(section);
    const char *at = seed->text;
    const char *test = of_the_test(section, key);
    size_t size = 0;
    char *text = NULL;
    FILE *out = open_memstream(&text, &size);

    ck_assert_ptr_nonnull(out);
    for (int line = 1; *at; line++) {
        const size_t n = strcspn(at, "\n");
        bool kept = true, below = false;

        for (size_t i = 0; i < seed->ini.n_sections; i++) {
            const struct fci_section *s = &seed->ini.sections[i];
            const struct fci_entry *entry = entry_of(s, kind, key);

            if (fci_reader_kind(s) != kind
                || strcasecmp(s->name, section->name) != 0)
                continue;
            kept = kept && !(entry && entry->line == line);
            below = below || (!entry && s->line == line);
        }
        if (kept)
            fprintf(out, "%.*s\n", (int)n, at);
        if (!kept || below)
            fprintf(out, "%s = %s\n", key, value);
        if (!kept && test)
            fprintf(out, "test static = %s\n", test);
        at += n + (at[n] == '\n');
    }
    fclose(out);
    return text;
}

/* ---- Reports as data -------------------------------------------------- */

/* The last of the buildings of a file. */
static json_t *
compared(const char *text, const char *path, bool last)
{
    static const char *const own[] = { "variant",     "name", "file_digest",
                                       "differences", "cost", "title",
                                       NULL };
    const fc_sites_options options = { .check = few, .in_units = true };
    const fc_site_file file = { .path = path,
                                .text = text,
                                .length = strlen(text) };
    fc_comparison *comparison = NULL;
    fc_report *report = NULL;
    json_t *data, *building;

    ck_assert_int_eq(fc_compare(&file, 1, &options, &comparison), FC_OK);
    ck_assert_int_eq(fc_report_compare(comparison, &report), FC_OK);
    data = report_data(report);
    building = json_object_get(data, "buildings");
    building =
        json_array_get(building, last ? json_array_size(building) - 1 : 0);
    ck_assert_ptr_nonnull(building);
    json_incref(building);
    json_decref(data);
    fc_comparison_free(comparison);
    drop_keys(building, own);
    return building;
}

/* A line among several sites. */
static json_t *
line_of(const char *text, const char *path)
{
    static const char *const own[] = { "report", "schema",        "program",
                                       "site",   "made",          "digest",
                                       "set",    "tables_digest", "units",
                                       "path",   "title",         "overrides",
                                       NULL };
    const fc_sites_options options = { .check = few };
    const fc_site_file file = { .path = path,
                                .text = text,
                                .length = strlen(text) };
    fc_checked_sites *sites = NULL;
    fc_report *report = NULL;
    json_t *line;

    ck_assert_int_eq(fc_check_sites(&file, 1, &options, &sites), FC_OK);
    ck_assert_int_eq(fc_report_sites(sites, &report), FC_OK);
    line = report_data(report);
    fc_checked_sites_free(sites);
    drop_keys(line, own);
    return line;
}

/* ---- One key of one part ---------------------------------------------- */

struct trial {
    const struct seed *seed;
    const struct fci_section *section;
    const char *key;
    char name[200], value[200];
};

static void
name_part(struct trial *t)
{
    const enum fci_kind kind = fci_reader_kind(t->section);

    snprintf(t->name, sizeof t->name, "%s%s%s",
             fci_is_element(kind) || kind == FCI_FIXTURE
                 ? ""
                 : fci_part_kinds[kind].word,
             *t->section->name
                     && !(fci_is_element(kind) || kind == FCI_FIXTURE)
                 ? " "
                 : "",
             t->section->name);
}

static void
try_case(const struct trial *t, const char *written)
{
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    json_t *one, *other;

    fprintf(out, "%s\n[case that it is so]\n%s.%s = %s\n", t->seed->text,
            t->name, t->key, t->value);
    fclose(out);
    one = compared(text, t->seed->path, true);
    other = compared(written, t->seed->path, false);
    same_data(one, other, t->key, text);
    json_decref(one);
    json_decref(other);
    free(text);
}

/* A figure and a tenth more; how many steps there were. */
static size_t
try_sweep(const struct trial *t)
{
    static const char *const own[] = { "value", "figure", "error", NULL };
    fc_sweep_result *sweep = NULL;
    fc_report *report = NULL;
    fc_site *site = NULL;
    char what[500], *unit;
    const double figure = strtod(t->value, &unit);
    json_t *data, *steps;
    size_t n = 0;

    snprintf(what, sizeof what, "%s.%s=%g..%g%s/2", t->name, t->key, figure,
             figure + fmax(1, fabs(figure) / 10), unit);
    if (unit == t->value || strstr(t->value, "..") || strchr(unit, ',')
        || fc_site_read_text(t->seed->text, strlen(t->seed->text),
                             t->seed->path, &site, NULL)
               != FC_OK)
        return 0;
    if (fc_sweep(site, what, &few, &sweep, NULL) == FC_OK) {
        ck_assert_int_eq(fc_report_sweep(site, sweep, &report), FC_OK);
        data = report_data(report);
        steps = json_object_get(data, "steps");
        ck_assert_uint_eq(json_array_size(steps), sweep->n_steps);
        for (n = 0; n < sweep->n_steps; n++) {
            char *written =
                edited(t->seed, t->section, t->key, sweep->steps[n].value);
            json_t *step = json_array_get(steps, n);
            json_t *line = line_of(written, t->seed->path);

            drop_keys(step, own);
            same_data(step, line, what, written);
            json_decref(line);
            free(written);
        }
        json_decref(data);
        fc_sweep_result_free(sweep);
    }
    fc_site_free(site);
    return n;
}

/* Whether it is accepted, and another value than the file has.  Pipes that
 * close a loop are read, and refused by a check. */
static bool
try_one(struct trial *t)
{
    char setting[500], *written;
    const char *const settings[] = { setting };
    const enum fci_kind kind = fci_reader_kind(t->section);
    const struct fci_entry *was = entry_of(t->section, kind, t->key);
    fc_status set_status, status;
    json_t *set, *by_hand;

    if (!*t->value
        || (was && (was->headed || strcmp(was->value, t->value) == 0)))
        return false;
    name_part(t);
    snprintf(setting, sizeof setting, "%s.%s=%s", t->name, t->key, t->value);
    written = edited(t->seed, t->section, t->key, t->value);
    by_hand = checked_data(written, t->seed->path, NULL, 0, &few, &status);
    set = checked_data(t->seed->text, t->seed->path, settings, 1, &few,
                       &set_status);
    ck_assert_msg(status == set_status, "%s: %s, in\n%s\nbut written: %s",
                  setting, fc_status_text(set_status), t->seed->text,
                  fc_status_text(status));
    if (status == FC_OK) {
        same_data(set, by_hand, setting, t->seed->text);
        try_case(t, written);
    }
    json_decref(set);
    json_decref(by_hand);
    free(written);
    return status == FC_OK || status == FC_EUNSUPPORTED;
}

/* ---- All -------------------------------------------------------------- */

/* Any part of the kind, every second time one that has the key. */
static bool
choose_part(struct trial *t, enum fci_kind kind, gsl_rng *rng, bool with)
{
    unsigned long n = 0;

    for (size_t i = 0; i < n_seeds; i++)
        for (size_t k = 0; k < seeds[i].ini.n_sections; k++) {
            const struct fci_section *s = &seeds[i].ini.sections[k];

            if (fci_reader_kind(s) != kind
                || (with && !entry_of(s, kind, t->key))
                || gsl_rng_uniform_int(rng, ++n) != 0)
                continue;
            t->seed = &seeds[i];
            t->section = s;
        }
    return n > 0;
}

static const char *
any_value(enum fci_kind kind, const char *key, gsl_rng *rng)
{
    const char *found = NULL;
    unsigned long n = 0;

    for (size_t i = 0; i < n_values; i++)
        if ((kind == FCI_KINDS || values[i].kind == kind)
            && strcmp(values[i].key, key) == 0
            && gsl_rng_uniform_int(rng, ++n) == 0)
            found = values[i].text;
    return found;
}

/* One that a file has for the key, or with its first figure a tenth larger;
 * for what names something another part of the file, or what any part names.
 */
static void
choose_value(struct trial *t, const struct fci_field *field,
             enum fci_kind kind, gsl_rng *rng)
{
    const unsigned long how = gsl_rng_uniform_int(rng, 3);
    const bool name =
        field->type == &fci_name_field || field->type == &fci_names_field;
    const char *given = any_value(how == 1 ? FCI_KINDS : kind, t->key, rng);
    char *rest;
    double figure;

    ck_assert_msg(given, "no file has %s", t->key);
    snprintf(t->value, sizeof t->value, "%s", given);
    if (name && how == 2)
        snprintf(
            t->value, sizeof t->value, "%s",
            t->seed->ini
                .sections[gsl_rng_uniform_int(rng, t->seed->ini.n_sections)]
                .name);
    figure = strtod(given, &rest);
    if (!name && how == 2 && rest > given && isfinite(figure))
        snprintf(t->value, sizeof t->value, "%.6g%s", figure * 1.1, rest);
}

START_TEST(every_key)
{
    const enum fci_kind kind = (enum fci_kind)_i;
    const struct fci_part_kind *of = &fci_part_kinds[kind];
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    const int enough = usual(1, 2); /* accepted, of a key */
    size_t steps = 0, figures = 0;

    for (size_t k = 0; k < of->n_fields; k += SANITIZED ? 4 : 1) {
        const struct fci_field *field = &of->fields[k];
        struct trial t = { .key = field->key };
        size_t swept = 0;
        int accepted = 0;

        gsl_rng_set(rng, 1 + k);
        for (int i = 0; i < MOST_TRIES && accepted < enough
                        && (i < TRIES || accepted == 0);
             i++) {
            if (!choose_part(&t, kind, rng, i % 2))
                continue;
            choose_value(&t, field, kind, rng);
            if (!try_one(&t))
                continue;
            accepted++;
            if (swept == 0)
                swept = try_sweep(&t);
        }
        steps += swept;
        figures += field->type == &fci_figure_field
                   || field->type == &fci_range_field;
        /* no seed brings a file of tables, nor a second thing that may feed
         * its pressure tank */
        ck_assert_msg(
            accepted > 0 || strcmp(t.key, "tables") == 0
                || (kind == FCI_PRESSURE_TANK && strcmp(t.key, "from") == 0),
            "[%s] %s is never accepted", of->word, t.key);
    }
    ck_assert(SANITIZED || steps > 0 || figures == 0);
    gsl_rng_free(rng);
}
END_TEST

TCase *
change_of_keys(void)
{
    TCase *t = tcase_create("keys");

    tcase_set_timeout(t, 120);
    tcase_add_unchecked_fixture(t, find_seeds, forget_seeds);
    tcase_add_loop_test(t, every_key, 0, FCI_KINDS);
    return t;
}
