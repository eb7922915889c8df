/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/variants/setting.c -- what is set is put into the sections of a file.
 *
 * Typical floors are told out first, a section a floor, so that any name that
 * the building has can be meant.
 */
#include "variants/setting.h"
#include "ground/characters.h"
#include "ground/diagnostics.h"
#include "site/reader.h"
#include "units/units.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

struct put {
    struct fci_settings *settings;
    struct fci_ini *ini;
    struct fci_section *sections; /* malloc'ed */
    size_t n, room;
    size_t n_of_floors;     /* of those, out of typical floors */
    size_t *gone;           /* by section: the setting that took it out, or
                               FCI_NONE; malloc'ed */
    struct fci_names names; /* of elements and fixtures, to sections */
    fc_diagnostics *messages;
    size_t at; /* the setting that is put */
};

/* Those that a name means. */
struct meant {
    size_t *sections; /* malloc'ed */
    size_t n, room;
    bool floors; /* all floors of a typical one */
};

static struct fci_setting *
setting_of(const struct put *p)
{
    return &p->settings->list[p->at];
}

int
fci_setting_line(const struct fci_settings *settings, size_t i)
{
    return settings->list[i].text ? -(int)i - 1 : settings->list[i].line;
}

#define FAIL(p, ...)                                                          \
    fci_fail((p)->messages, FC_EINPUT, (p)->ini->path,                        \
             fci_setting_line((p)->settings, (p)->at), __VA_ARGS__)

/* ---- Sections --------------------------------------------------------- */

static bool
is_fixture_or_element(enum fci_kind kind)
{
    return kind < FCI_KINDS && (fci_is_element(kind) || kind == FCI_FIXTURE);
}

static fc_status
add_section(struct put *p, const struct fci_section *section)
{
    struct fci_section *grown =
        fci_grow(p->sections, p->n, &p->room, sizeof *p->sections);

    if (!grown)
        return FC_ENOMEM;
    p->sections = grown;
    grown[p->n++] = *section;
    return FC_OK;
}

/* What is wrong with a typical floor the reader says, which meets it as it
 * stands. */
static fc_status
add_floors(struct put *p, const struct fci_section *section)
{
    const size_t start = p->n;
    struct fci_section *floor;
    size_t n = 0;
    int *floors = NULL;
    fc_status status = fci_floors_list(section, p->ini->path, &p->ini->arena,
                                       &floors, &n, NULL);

    if (status == FC_OK
        && fci_floors_count(section, p->ini->path, n, &p->n_of_floors,
                            p->messages)
               != FC_OK)
        return FC_EINPUT;
    for (size_t i = 0; i < n && status == FC_OK; i++) {
        status = fci_floors_section(section, floors[i], p->ini->path,
                                    &p->ini->arena, &floor, NULL);
        if (status == FC_OK)
            status = add_section(p, floor);
    }
    if (status != FC_EINPUT)
        return status;
    p->n = start;
    return add_section(p, section);
}

static fc_status
list_sections(struct put *p)
{
    fc_status status = FC_OK;

    for (size_t i = 0; i < p->ini->n_sections && status == FC_OK; i++) {
        const struct fci_section *section = &p->ini->sections[i];

        status = fci_floors_typical(section) && !fci_is_case(section)
                     ? add_floors(p, section)
                     : add_section(p, section);
    }
    return status;
}

static fc_status
index_sections(struct put *p)
{
    p->gone = malloc((p->n + 1) * sizeof *p->gone);
    if (!p->gone)
        return FC_ENOMEM;
    for (size_t i = 0; i < p->n; i++) {
        size_t number = i;
        bool known;

        p->gone[i] = FCI_NONE;
        if (is_fixture_or_element(fci_reader_kind(&p->sections[i]))
            && fci_names_enter(&p->names, p->sections[i].name, &number, &known)
                   != FC_OK)
            return FC_ENOMEM;
    }
    return FC_OK;
}

/* ---- Names ------------------------------------------------------------ */

static fc_status
mean(struct meant *meant, size_t section)
{
    size_t *grown = fci_grow(meant->sections, meant->n, &meant->room,
                             sizeof *meant->sections);

    if (!grown)
        return FC_ENOMEM;
    meant->sections = grown;
    grown[meant->n++] = section;
    return FC_OK;
}

/* Whether a section has the name, which may hold `{floor}`. */
static fc_status
is_named(struct put *p, const struct fci_section *section, const char *name,
         bool floors, bool *is)
{
    const char *here = name;
    fc_status status = FC_OK;

    if (floors && section->typical)
        status = fci_floors_text(name, section->floor, &p->ini->arena, &here);
    *is = status == FC_OK && fci_same_name(here, section->name);
    return status == FC_ENOMEM ? status : FC_OK;
}

/* Of FCI_KINDS: of any element or fixture. */
static fc_status
look_for(struct put *p, enum fci_kind kind, const char *name,
         struct meant *meant)
{
    const size_t known =
        kind == FCI_KINDS ? fci_names_find(&p->names, name) : FCI_NO_NAME;
    fc_status status = FC_OK;
    bool is;

    meant->floors = strstr(name, "{floor") != NULL;
    if (kind == FCI_KINDS && !meant->floors)
        return known != FCI_NO_NAME && p->gone[known] == FCI_NONE
                   ? mean(meant, known)
                   : FC_OK;
    for (size_t i = 0; i < p->n && status == FC_OK; i++) {
        const enum fci_kind of = fci_reader_kind(&p->sections[i]);

        if (p->gone[i] != FCI_NONE
            || !(kind == FCI_KINDS ? is_fixture_or_element(of) : of == kind))
            continue;
        status = is_named(p, &p->sections[i], name, meant->floors, &is);
        if (status == FC_OK && is)
            status = mean(meant, i);
    }
    return status;
}

/* The kind that a name begins with, "valve closet", and what follows. */
static enum fci_kind
kind_in(const char *name, const char **rest)
{
    struct fci_section section = { .line = 0 };
    const size_t n = strcspn(name, " ");
    char word[40]; /* longer than any */
    enum fci_kind kind;

    *rest = name[n] ? name + n + 1 : "";
    if (n >= sizeof word)
        return FCI_KINDS;
    for (size_t i = 0; i < n; i++)
        word[i] = fci_lower(name[i]);
    word[n] = '\0';
    section.kind = word;
    kind = fci_reader_kind(&section);
    return kind < FCI_KINDS && fci_part_kinds[kind].named == (name[n] != '\0')
               ? kind
               : FCI_KINDS;
}

/* The settings of the site stand in a section that a file may be without. */
static fc_status
add_unnamed(struct put *p, enum fci_kind kind, struct meant *meant)
{
    const struct fci_section section = {
        .kind = fci_part_kinds[kind].word,
        .name = "",
        .line = fci_setting_line(p->settings, p->at),
    };
    size_t *gone = realloc(p->gone, (p->n + 2) * sizeof *gone);

    if (!gone)
        return FC_ENOMEM;
    p->gone = gone;
    gone[p->n] = FCI_NONE;
    return add_section(p, &section) == FC_OK ? mean(meant, p->n - 1)
                                             : FC_ENOMEM;
}

/* Nothing is meant where the building has no such part. */
static fc_status
find_part(struct put *p, const char *name, struct meant *meant)
{
    const char *rest;
    enum fci_kind kind;
    fc_status status = look_for(p, FCI_KINDS, name, meant);

    if (status != FC_OK || meant->n > 0)
        return status;
    kind = kind_in(name, &rest);
    if (kind == FCI_KINDS)
        return FC_OK;
    status = look_for(p, kind, rest, meant);
    if (status == FC_OK && meant->n == 0 && !fci_part_kinds[kind].named
        && setting_of(p)->key)
        status = add_unnamed(p, kind, meant);
    return status;
}

/* The part of a typical floor that is called so but for its floor, or one
 * whose kind has to be said; NULL: none. */
static const struct fci_section *
called_so(struct put *p, const char *name)
{
    const size_t n = strlen(name);

    for (size_t i = 0; i < p->n; i++) {
        const struct fci_section *section = &p->sections[i];
        const char *behind;

        if (!is_fixture_or_element(fci_reader_kind(section))) {
            if (*name && fci_same_name(section->name, name))
                return section;
            continue;
        }
        if (!section->typical || strncasecmp(section->name, name, n) != 0
            || section->name[n] != '-')
            continue;
        behind = section->name + n + 1 + (section->name[n + 1] == '-');
        if (*behind && behind[strspn(behind, "0123456789")] == '\0')
            return section;
    }
    return NULL;
}

/* The place of the setting that took it out before; FCI_NONE: none. */
static size_t
gone_by(const struct put *p, const char *name)
{
    const size_t known = fci_names_find(&p->names, name);

    return known != FCI_NO_NAME ? p->gone[known] : FCI_NONE;
}

static fc_status
blame_name(struct put *p, const char *name)
{
    struct fci_nearest nearest = fci_nearest_to(name);
    const char *rest;
    const enum fci_kind kind = kind_in(name, &rest);
    const struct fci_section *called =
        kind == FCI_KINDS ? called_so(p, name) : NULL;

    if (gone_by(p, name) != FCI_NONE)
        return FAIL(p,
                    "\"%.60s\" is taken out before; a part that is left is "
                    "expected",
                    name);
    if (called && is_fixture_or_element(fci_reader_kind(called)))
        return FAIL(p,
                    "\"%.60s\" is not a part of the site; did you mean "
                    "\"%.60s-{floor}\", on all its floors, or \"%s\"?",
                    name, name, called->name);
    if (called)
        return FAIL(p,
                    "\"%.60s\" is not a part of the site; did you mean "
                    "\"%s %s\"?",
                    name, called->kind, called->name);
    if (kind == FCI_KINDS)
        fci_nearest_try_names(&nearest, &p->names);
    else
        nearest = fci_nearest_to(rest);
    for (size_t i = 0; kind < FCI_KINDS && i < p->n; i++)
        if (fci_reader_kind(&p->sections[i]) == kind)
            fci_nearest_try(&nearest, p->sections[i].name);
    if (fci_nearest_word(&nearest))
        return FAIL(p,
                    "\"%.60s\" is not a part of the site; did you mean "
                    "\"%s%s%s\"?",
                    name, kind < FCI_KINDS ? fci_part_kinds[kind].word : "",
                    kind < FCI_KINDS ? " " : "", fci_nearest_word(&nearest));
    return FAIL(p,
                "\"%.60s\" is not a part of the site; the name of an element "
                "or a fixture is expected, or a kind and a name, such as "
                "valve closet",
                name);
}

/* The part and the key of "a.b.key": names may hold points, keys hardly ever
 * do. */
static fc_status
split(struct put *p, struct meant *meant)
{
    struct fci_setting *setting = setting_of(p);
    const char *whole = setting->part;
    size_t end = strlen(whole);
    fc_status status = FC_OK;
    enum fci_kind kind;
    char *part;

    while (end > 0 && status == FC_OK && meant->n == 0) {
        while (end > 0 && whole[--end] != '.')
            ;
        part = fci_arena_substring(&p->ini->arena, whole, end);
        status = part ? find_part(p, part, meant) : FC_ENOMEM;
    }
    if (status != FC_OK)
        return status;
    if (meant->n == 0)
        end = (size_t)(strrchr(whole, '.') - whole);
    setting->part = fci_arena_substring(p->settings->arena, whole, end);
    part = fci_arena_string(p->settings->arena, whole + end + 1);
    setting->key = part;
    for (; part && *part; part++)
        *part = fci_lower(*part);
    if (!setting->part || !setting->key)
        return FC_ENOMEM;
    if (meant->n == 0)
        return blame_name(p, setting->part);
    kind = fci_reader_kind(&p->sections[meant->sections[0]]);
    if (kind < FCI_KINDS)
        setting->key =
            fci_fields_key(fci_part_kinds[kind].fields,
                           fci_part_kinds[kind].n_fields, setting->key);
    return FC_OK;
}

/* ---- Values ----------------------------------------------------------- */

/* The entry of a key; where there is none, another one without value. */
static struct fci_entry *
entry_for(struct put *p, struct fci_section *section, const char *key)
{
    struct fci_entry *entries;

    for (size_t i = 0; i < section->n_entries; i++)
        if (strcmp(section->entries[i].key, key) == 0)
            return &section->entries[i];
    entries = fci_arena_array(&p->ini->arena, section->n_entries + 1,
                              sizeof *entries);
    if (!entries)
        return NULL;
    if (section->n_entries > 0)
        memcpy(entries, section->entries,
               section->n_entries * sizeof *entries);
    section->entries = entries;
    entries[section->n_entries].key = fci_arena_string(&p->ini->arena, key);
    return entries[section->n_entries].key ? &entries[section->n_entries++]
                                           : NULL;
}

static void
note_was(struct fci_setting *setting, const char *was, bool first)
{
    if (first)
        setting->was = was;
    else if (!was != !setting->was || (was && strcmp(was, setting->was) != 0))
        setting->differs = true;
}

static fc_status
set_value(struct put *p, const struct meant *meant)
{
    struct fci_setting *setting = setting_of(p);
    fc_status status = FC_OK;

    for (size_t i = 0; i < meant->n && status == FC_OK; i++) {
        struct fci_section *section = &p->sections[meant->sections[i]];
        struct fci_entry *entry = entry_for(p, section, setting->key);

        if (!entry)
            return FC_ENOMEM;
        note_was(setting, entry->value, i == 0);
        entry->line = fci_setting_line(p->settings, p->at);
        entry->value = setting->value;
        if (section->typical)
            status = fci_floors_text(setting->value, section->floor,
                                     &p->ini->arena, &entry->value);
        if (status == FC_EINPUT)
            status = fci_floors_bad_brace(section, p->ini->path, entry->line,
                                          setting->value, p->messages);
    }
    return status;
}

/* ---- Taking out ------------------------------------------------------- */

/* What an element leads to would stand elsewhere without its rise. */
static fc_status
keeps_heights(struct put *p, const struct fci_section *section)
{
    static const char *const keys[] = { "rise", "elevation" };
    struct fci_reason why;
    fc_range rise;

    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++) {
        const struct fci_entry *entry = fci_section_entry(section, keys[i]);

        if (entry
            && (!fci_read_figure(entry->value, FC_LENGTH, true, &rise, &why)
                || rise.low < 0 || rise.high > 0))
            return FAIL(p,
                        "\"%.60s\" has %s = %.40s, by which all that it feeds "
                        "would stand elsewhere without it; \"%.60s.%s = 0 "
                        "ft\" before is expected, if that is meant",
                        section->name, keys[i], entry->value, section->name,
                        keys[i]);
    }
    return FC_OK;
}

/* What it led to is joined to what led to it. */
static void
join(struct put *p, const char *name, const char *from)
{
    static const char *const keys[] = { "from", "to", "on" };

    for (size_t i = 0; i < p->n; i++)
        for (size_t k = 0; k < p->sections[i].n_entries; k++) {
            struct fci_entry *entry = &p->sections[i].entries[k];

            for (size_t j = 0; j < sizeof keys / sizeof *keys; j++)
                if (strcmp(entry->key, keys[j]) == 0
                    && fci_same_name(entry->value, name))
                    entry->value = from;
        }
}

/* Of two PRVs side by side the second one takes the place of the first. */
static const char *
put_in_place(struct put *p, const char *first, const char *from)
{
    for (size_t i = 0; i < p->n; i++)
        for (size_t k = 0; k < p->sections[i].n_entries; k++) {
            struct fci_entry *entry = &p->sections[i].entries[k];

            if (strcmp(entry->key, "beside") != 0
                || !fci_same_name(entry->value, first))
                continue;
            entry->key = "from";
            entry->value = from;
            return p->sections[i].name;
        }
    return from;
}

static fc_status
take_out(struct put *p, const struct meant *meant)
{
    fc_status status = FC_OK;

    for (size_t i = 0; i < meant->n && status == FC_OK; i++) {
        const struct fci_section *section = &p->sections[meant->sections[i]];
        const enum fci_kind kind = fci_reader_kind(section);
        const struct fci_entry *from = fci_section_entry(section, "from");

        if (kind == FCI_SOURCE)
            return FAIL(p,
                        "\"%.60s\" is a source, and nothing leads to it; an "
                        "element downstream of one is expected",
                        section->name);
        if (fci_is_element(kind))
            status = keeps_heights(p, section);
        if (status == FC_OK && from)
            join(p, section->name,
                 put_in_place(p, section->name, from->value));
        p->gone[meant->sections[i]] = p->at;
    }
    return status;
}

/* A reading or a claim at a part that is taken out is of another building. */
static fc_status
blame_left(struct put *p)
{
    static const char *const keys[] = { "at", "fixture" };
    fc_status status = FC_OK;

    for (size_t i = 0; i < p->n && status != FC_ENOMEM; i++)
        for (size_t k = 0; k < sizeof keys / sizeof *keys; k++) {
            const struct fci_section *section = &p->sections[i];
            const struct fci_entry *entry =
                fci_section_entry(section, keys[k]);
            const size_t at = entry && p->gone[i] == FCI_NONE
                                  ? fci_names_find(&p->names, entry->value)
                                  : FCI_NO_NAME;

            if (at == FCI_NO_NAME || p->gone[at] == FCI_NONE)
                continue;
            p->at = p->gone[at];
            status = FAIL(p,
                          "%s is at \"%.60s\"; without that \"%s %.60s\" has "
                          "no place, and is expected among what is taken out",
                          fci_heading(section->kind, section->name).text,
                          entry->value, section->kind, section->name);
        }
    return status;
}

/* ---- All -------------------------------------------------------------- */

/* As the file has it. */
static void
keep_name(struct put *p, const struct meant *meant)
{
    const struct fci_section *section;

    if (meant->n != 1 || meant->floors)
        return;
    section = &p->sections[meant->sections[0]];
    if (is_fixture_or_element(fci_reader_kind(section)))
        setting_of(p)->part = section->name;
}

static bool
means(const struct put *p, const struct meant *meant, const char *name)
{
    for (size_t i = 0; i < meant->n; i++)
        if (fci_same_name(p->sections[meant->sections[i]].name, name))
            return true;
    return false;
}

/* One key of one part is set once, whatever its names are; after all floors of
 * a typical one, one of them may be set otherwise. */
static fc_status
blame_twice(struct put *p, const struct meant *meant)
{
    const struct fci_setting *now = setting_of(p);

    for (size_t i = 0; now->key && i < p->at; i++) {
        const struct fci_setting *before = &p->settings->list[i];

        if (!before->key || strcmp(before->key, now->key) != 0)
            continue;
        if (fci_same_name(before->part, now->part))
            return FAIL(p, "%s.%s is set twice; it is expected once",
                        now->part, now->key);
        if (meant->floors && means(p, meant, before->part))
            return FAIL(p,
                        "%s.%s would undo %s.%s before it; all floors are "
                        "expected first, then one of them",
                        now->part, now->key, before->part, before->key);
    }
    return FC_OK;
}

static fc_status
put_one(struct put *p)
{
    struct fci_setting *setting = setting_of(p);
    struct meant meant = { 0 };
    fc_status status;

    if (setting->key) {
        status = *setting->key ? find_part(p, setting->part, &meant)
                               : split(p, &meant);
        keep_name(p, &meant);
        if (status == FC_OK)
            status = blame_twice(p, &meant);
        if (status == FC_OK)
            status = set_value(p, &meant);
    } else {
        status = find_part(p, setting->part, &meant);
        if (status == FC_OK)
            status = meant.n > 0 ? take_out(p, &meant)
                                 : blame_name(p, setting->part);
    }
    free(meant.sections);
    return status;
}

/* All from `at` on. */
static fc_status
put_all(struct put *p)
{
    fc_status status, worst = FC_OK;

    for (; p->at < p->settings->n; p->at++) {
        status = put_one(p);
        if (status == FC_ENOMEM)
            return status;
        if (status != FC_OK)
            worst = status;
    }
    return worst;
}

/* Whether what was set of a source is its static pressure alone, and its flow
 * test was made at that of the file.  The drop belongs to the day of the test:
 * with the residual of the file and another static pressure the main would be
 * another main. */
static bool
keeps_test(const struct put *p, const struct fci_setting *set,
           const struct fci_section *source)
{
    static const char *const tests[] = { "residual", "residual flow",
                                         "flow test", "test static" };

    if (fci_reader_kind(source) != FCI_SOURCE
        || strcmp(set->key, "static") != 0 || !set->was
        || strcmp(set->was, set->value) == 0
        || fci_section_entry(source, "test static")
        || !(fci_section_entry(source, "residual")
             || fci_section_entry(source, "flow test")))
        return false;
    for (size_t i = 0; i < p->settings->n; i++)
        for (size_t k = 0; k < sizeof tests / sizeof *tests; k++)
            if (p->settings->list[i].key
                && strcmp(p->settings->list[i].key, tests[k]) == 0
                && fci_same_name(p->settings->list[i].part, set->part))
                return false;
    return true;
}

static fc_status
add_implied(struct put *p)
{
    struct fci_settings *s = p->settings;

    for (size_t i = 0, n = s->n; i < n; i++) {
        struct fci_setting set = s->list[i], *grown;
        struct meant meant = { 0 };
        fc_status status = set.key ? find_part(p, set.part, &meant) : FC_OK;
        const bool keeps =
            meant.n == 1 && keeps_test(p, &set, &p->sections[*meant.sections]);

        free(meant.sections);
        if (status != FC_OK)
            return status;
        if (!keeps)
            continue;
        grown = fci_grow(s->list, s->n, &s->room, sizeof *s->list);
        if (!grown)
            return FC_ENOMEM;
        s->list = grown;
        set.implied = true;
        set.key = "test static";
        set.value = set.was;
        s->list[s->n++] = set;
    }
    return FC_OK;
}

/* The sections that are left become those of the file. */
static fc_status
keep_sections(struct put *p)
{
    size_t n = 0;

    for (size_t i = 0; i < p->n; i++)
        if (p->gone[i] == FCI_NONE)
            p->sections[n++] = p->sections[i];
    p->ini->sections =
        fci_arena_copy(&p->ini->arena, p->sections, n * sizeof *p->sections);
    p->ini->n_sections = n;
    return p->ini->sections || n == 0 ? FC_OK : FC_ENOMEM;
}

fc_status
fci_settings_put(struct fci_settings *settings, struct fci_ini *ini,
                 fc_diagnostics *messages)
{
    struct put p = { .settings = settings, .ini = ini, .messages = messages };
    fc_status status = list_sections(&p);

    if (status == FC_OK)
        status = index_sections(&p);
    if (status != FC_ENOMEM)
        status = put_all(&p);
    if (status == FC_OK)
        status = add_implied(&p);
    if (status == FC_OK)
        status = put_all(&p); /* those that were added */
    if (status == FC_OK)
        status = blame_left(&p);
    if (status != FC_ENOMEM && keep_sections(&p) != FC_OK)
        status = FC_ENOMEM;
    free(p.sections);
    free(p.gone);
    fci_names_free(&p.names);
    return status;
}

fc_status
fci_settings_tell(const struct fci_settings *settings,
                  const fc_diagnostics *said, fc_diagnostics *messages)
{
    for (size_t i = 0; i < fc_diagnostics_count(said); i++) {
        const fc_diagnostic m = fc_diagnostics_at(said, i);
        const int line = fci_failure_line(said, i);
        const char *file = m.file;

        if (line < 0)
            file = fci_arena_printf(settings->arena, "--set %s",
                                    settings->list[-line - 1].text);
        if (line < 0 && !file)
            return FC_ENOMEM;
        if (fci_fail(messages, FC_EINPUT, file, m.line, "%s%s%s",
                     settings->of ? settings->of : "", settings->of ? " " : "",
                     m.text)
            == FC_ENOMEM)
            return FC_ENOMEM;
    }
    return FC_OK;
}
