/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/typical_floors.c -- typical floors: one section repeated for many
 * floors. */
#include "ground/diagnostics.h"
#include "ground/names.h"
#include "site/reader.h"
#include "units/units.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* No building has floors outside these; a slip of the pen has. */
#define LOWEST_FLOOR (-50)
#define HIGHEST_FLOOR 300
#define MOST_FLOORS (HIGHEST_FLOOR - LOWEST_FLOOR + 1) /* each once */

bool
fci_floors_typical(const struct fci_section *section)
{
    return fci_names_floors(section->name);
}

/* ---- The list --------------------------------------------------------- */

/* A whole number at *text, which is moved behind it. */
static bool
read_floor(const char **text, int *floor)
{
    char *end;
    long number;

    while (**text == ' ')
        (*text)++;
    number = strtol(*text, &end, 10);
    if (end == *text || number < LOWEST_FLOOR || number > HIGHEST_FLOOR)
        return false;
    *floor = (int)number;
    *text = end;
    while (**text == ' ')
        (*text)++;
    return true;
}

/* The floors of a list, and which of them it has already. */
struct floor_list {
    int *floors;
    size_t n;
    bool has[MOST_FLOORS];
    int twice; /* meaningful where `repeats` is set */
    bool repeats;
};

/* One item, "3" or "5..8", appended to the list. */
static bool
read_item(const char **text, struct floor_list *list)
{
    int first, last, floor;

    if (!read_floor(text, &first))
        return false;
    last = first;
    if (fci_range_mark(*text) > 0) {
        *text += fci_range_mark(*text);
        if (!read_floor(text, &last) || last < first)
            return false;
    }
    for (floor = first; floor <= last; floor++) {
        bool *has = &list->has[floor - LOWEST_FLOOR];

        if (*has && !list->repeats) {
            list->repeats = true;
            list->twice = floor;
        }
        if (!*has)
            list->floors[list->n++] = floor;
        *has = true;
    }
    return true;
}

static bool
read_list(const char *text, struct floor_list *list)
{
    while (read_item(&text, list)) {
        if (*text == '\0')
            return true;
        if (*text++ != ',')
            return false;
    }
    return false;
}

fc_status
fci_floors_list(const struct fci_section *section, const char *path,
                struct fci_arena *arena, int **floors, size_t *n,
                fc_diagnostics *messages)
{
    struct fci_heading heading = fci_heading(section->kind, section->name);
    const struct fci_entry *entry = fci_section_entry(section, "floors");
    struct floor_list list = { 0 };

    if (!entry)
        return fci_fail(messages, FC_EINPUT, path, section->line,
                        "%s lacks \"floors\"; a name with {floor} needs it, "
                        "such as 2..12",
                        heading.text);
    list.floors = fci_arena_array(arena, MOST_FLOORS, sizeof *list.floors);
    if (!list.floors)
        return FC_ENOMEM;
    if (!read_list(entry->value, &list))
        return fci_fail(messages, FC_EINPUT, path, entry->line,
                        "%s floors \"%.60s\" is not a list of floors; whole "
                        "numbers from %d to %d are expected, such as 2..12 or "
                        "1, 3, 5..8",
                        heading.text, entry->value, LOWEST_FLOOR,
                        HIGHEST_FLOOR);
    if (list.repeats)
        return fci_fail(messages, FC_EINPUT, path, entry->line,
                        "%s floors names floor %d twice; each floor is "
                        "expected once",
                        heading.text, list.twice);
    *floors = list.floors;
    *n = list.n;
    return FC_OK;
}

/* Few lines make many sections; beyond so many of a file, a slip of the pen.
 */
#define MOST_OF_FLOORS 10000

fc_status
fci_floors_count(const struct fci_section *section, const char *path, size_t n,
                 size_t *all, fc_diagnostics *messages)
{
    const bool said = *all > MOST_OF_FLOORS;

    *all += n;
    if (*all <= MOST_OF_FLOORS)
        return FC_OK;
    return fci_fail(said ? NULL : messages, FC_EINPUT, path,
                    fci_section_entry(section, "floors")->line,
                    "%s floors makes more than 10,000 sections of the typical "
                    "floors of this file; fewer floors, or like fixtures as "
                    "one with \"count\", are expected",
                    fci_heading(section->kind, section->name).text);
}

/* ---- Substitution ----------------------------------------------------- */

/* The number that a brace at `text` stands for on a floor, and its length; 0
 * when it is none of the three forms. */
static size_t
read_brace(const char *text, int floor, int *number)
{
    static const struct {
        const char *form;
        int shift;
    } forms[] = { { "{floor}", 0 }, { "{floor-1}", -1 }, { "{floor+1}", 1 } };
    size_t i;

    for (i = 0; i < sizeof forms / sizeof *forms; i++)
        if (strncmp(text, forms[i].form, strlen(forms[i].form)) == 0) {
            *number = floor + forms[i].shift;
            return strlen(forms[i].form);
        }
    return 0;
}

fc_status
fci_floors_text(const char *text, int floor, struct fci_arena *arena,
                const char **out)
{
    char *copy, *to;
    int number;
    size_t braces = 0, used;
    const char *p;

    for (p = text; *p; p++)
        braces += *p == '{';
    *out = text;
    if (braces == 0)
        return FC_OK;
    to = copy = fci_arena_alloc(arena, strlen(text) + 8 * braces + 1);
    if (!copy)
        return FC_ENOMEM;
    for (p = text; *p;) {
        used = *p == '{' ? read_brace(p, floor, &number) : 0;
        if (*p == '{' && used == 0)
            return FC_EINPUT;
        if (used)
            to += sprintf(to, "%d", number);
        else
            *to++ = *p;
        p += used ? used : 1;
    }
    *out = copy;
    return FC_OK;
}

fc_status
fci_floors_bad_brace(const struct fci_section *section, const char *path,
                     int line, const char *text, fc_diagnostics *messages)
{
    return fci_fail(messages, FC_EINPUT, path, line,
                    "%s holds \"%.60s\"; {floor}, {floor-1} or {floor+1} is "
                    "expected between braces",
                    fci_heading(section->kind, section->name).text, text);
}

/* ---- Values of each floor's own ---------------------------------------- */

#define EACH ".each"

bool
fci_floors_each(const char *key)
{
    const size_t length = strlen(key), end = strlen(EACH);

    return length > end && strcmp(key + length - end, EACH) == 0;
}

/* "rise.each = yes": to the keys told of in `copy` comes "rise.". */
static fc_status
read_each(const struct fci_section *section, const struct fci_entry *entry,
          const char *path, struct fci_arena *arena, struct fci_section *copy,
          fc_diagnostics *messages)
{
    const struct fci_heading heading =
        fci_heading(section->kind, section->name);
    const size_t length = strlen(entry->key) - strlen(EACH);
    const char *key = fci_arena_substring(arena, entry->key, length);

    if (!key)
        return FC_ENOMEM;
    if (!fci_section_entry(section, key))
        return fci_fail(messages, FC_EINPUT, path, entry->line,
                        "%s %.60s is given without \"%.60s\"; a key of the "
                        "section before .each is expected",
                        heading.text, entry->key, key);
    if (!fci_same_name(entry->value, "yes")
        && !fci_same_name(entry->value, "no"))
        return fci_fail(messages, FC_EINPUT, path, entry->line,
                        "%s %.60s \"%.60s\" is not understood; yes or no is "
                        "expected",
                        heading.text, entry->key, entry->value);
    if (fci_same_name(entry->value, "no"))
        return FC_OK;
    copy->each =
        fci_arena_printf(arena, "%s%s.", copy->each ? copy->each : "", key);
    return copy->each ? FC_OK : FC_ENOMEM;
}

fc_status
fci_floors_section(const struct fci_section *section, int floor,
                   const char *path, struct fci_arena *arena,
                   struct fci_section **out, fc_diagnostics *messages)
{
    struct fci_section *copy = fci_arena_alloc(arena, sizeof *copy);
    fc_status status;
    size_t i;

    if (!copy)
        return FC_ENOMEM;
    *copy = *section;
    copy->typical = true;
    copy->floor = floor;
    copy->n_entries = 0;
    copy->entries =
        fci_arena_array(arena, section->n_entries, sizeof *copy->entries);
    if (!copy->entries)
        return FC_ENOMEM;
    status = fci_floors_text(section->name, floor, arena, &copy->name);
    if (status == FC_EINPUT)
        return fci_floors_bad_brace(section, path, section->line,
                                    section->name, messages);
    for (i = 0; i < section->n_entries && status == FC_OK; i++) {
        const struct fci_entry *entry = &section->entries[i];
        struct fci_entry *to = &copy->entries[copy->n_entries];

        if (strcmp(entry->key, "floors") == 0)
            continue;
        if (fci_floors_each(entry->key)) {
            status = read_each(section, entry, path, arena, copy, messages);
            continue;
        }
        *to = *entry;
        copy->n_entries++;
        status = fci_floors_text(entry->value, floor, arena, &to->value);
        if (status == FC_EINPUT)
            return fci_floors_bad_brace(section, path, entry->line,
                                        entry->value, messages);
    }
    *out = copy;
    return status;
}
