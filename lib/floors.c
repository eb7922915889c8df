/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/floors.c -- typical floors: one section repeated for many floors. */
#include "diagnostics.h"
#include "reader.h"
#include "units.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* No building has floors outside these; a slip of the pen has. */
#define LOWEST_FLOOR (-50)
#define HIGHEST_FLOOR 300
#define MOST_FLOORS 1000

bool
fci_floors_typical(const struct fci_section *section)
{
    return strstr(section->name, "{floor") != NULL;
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

/* One item, "3" or "5..8", appended to the list. */
static bool
read_item(const char **text, int *floors, size_t *n)
{
    int first, last, floor;

    if (!read_floor(text, &first))
        return false;
    last = first;
    if (strncmp(*text, "..", 2) == 0) {
        *text += 2;
        if (!read_floor(text, &last) || last < first)
            return false;
    }
    for (floor = first; floor <= last; floor++) {
        if (*n == MOST_FLOORS)
            return false;
        floors[(*n)++] = floor;
    }
    return true;
}

fc_status
fci_floors_list(const struct fci_section *section, const char *path,
                struct fci_arena *arena, int **floors, size_t *n,
                fc_diagnostics *messages)
{
    struct fci_heading heading = fci_heading(section->kind, section->name);
    const struct fci_entry *entry = fci_section_entry(section, "floors");
    const char *text;

    if (!entry)
        return fci_fail(messages, FC_EINPUT, path, section->line,
                        "%s lacks \"floors\"; a name with {floor} needs it, "
                        "such as 2..12",
                        heading.text);
    *n = 0;
    *floors = fci_arena_array(arena, MOST_FLOORS, sizeof **floors);
    if (!*floors)
        return FC_ENOMEM;
    for (text = entry->value; read_item(&text, *floors, n); text++)
        if (*text != ',') {
            if (*text == '\0')
                return FC_OK;
            break;
        }
    return fci_fail(messages, FC_EINPUT, path, entry->line,
                    "%s floors \"%.60s\" is not a list of floors; whole "
                    "numbers from %d to %d are expected, such as 2..12 or "
                    "1, 3, 5..8",
                    heading.text, entry->value, LOWEST_FLOOR, HIGHEST_FLOOR);
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

/* The text on one floor; texts without braces are shared, not copied. */
static fc_status
on_floor(const char *text, int floor, struct fci_arena *arena,
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

static fc_status
bad_brace(const struct fci_section *section, const char *path, int line,
          const char *text, fc_diagnostics *messages)
{
    return fci_fail(messages, FC_EINPUT, path, line,
                    "%s holds \"%.60s\"; {floor}, {floor-1} or {floor+1} is "
                    "expected between braces",
                    fci_heading(section->kind, section->name).text, text);
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
    copy->n_entries = 0;
    copy->entries =
        fci_arena_array(arena, section->n_entries, sizeof *copy->entries);
    if (!copy->entries)
        return FC_ENOMEM;
    status = on_floor(section->name, floor, arena, &copy->name);
    if (status == FC_EINPUT)
        return bad_brace(section, path, section->line, section->name,
                         messages);
    for (i = 0; i < section->n_entries && status == FC_OK; i++) {
        const struct fci_entry *entry = &section->entries[i];
        struct fci_entry *to = &copy->entries[copy->n_entries];

        if (strcmp(entry->key, "floors") == 0)
            continue;
        *to = *entry;
        copy->n_entries++;
        status = on_floor(entry->value, floor, arena, &to->value);
        if (status == FC_EINPUT)
            return bad_brace(section, path, entry->line, entry->value,
                             messages);
    }
    *out = copy;
    return status;
}
