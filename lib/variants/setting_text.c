/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/variants/setting_text.c -- what is set, as it is written: on a command
 * line, or in a case of a file. */
#include "ground/characters.h"
#include "ground/diagnostics.h"
#include "ini/ini_text.h"
#include "variants/setting.h"

#include <stdlib.h>
#include <string.h>

#define WITHOUT "without"
#define TITLE "title"
#define EXPECTED                                                              \
    "NAME.KEY = VALUE, such as street.static = 69 psi, or without = NAMES "   \
    "is expected"

/* Where a setting stands. */
struct place {
    struct fci_settings *settings;
    const char *text; /* NULL: in a case */
    const char *file; /* for messages */
    int line;
    fc_diagnostics *messages;
};

#define FAIL(place, ...)                                                      \
    fci_fail((place)->messages, FC_EINPUT, (place)->file, (place)->line,      \
             __VA_ARGS__)

static fc_status
add(const struct place *place, const char *part, const char *key,
    const char *value)
{
    struct fci_settings *s = place->settings;
    struct fci_setting *grown =
        fci_grow(s->list, s->n, &s->room, sizeof *s->list);

    if (grown)
        s->list = grown;
    if (!grown || !part)
        return FC_ENOMEM;
    s->list[s->n++] = (struct fci_setting){ .part = part,
                                            .key = key,
                                            .value = value,
                                            .text = place->text,
                                            .line = place->line };
    return FC_OK;
}

/* The names of parts that are taken out, separated by commas. */
static fc_status
add_without(const struct place *place, char *names)
{
    const size_t before = place->settings->n;
    fc_status status = FC_OK;
    char *comma;

    for (; names && status == FC_OK; names = comma) {
        comma = strchr(names, ',');
        if (comma)
            *comma++ = '\0';
        names = fci_squeezed(names);
        if (!*names) {
            place->settings->n = before;
            return FAIL(place,
                        "\"" WITHOUT "\" names nothing between two commas; "
                        "names of parts are expected");
        }
        status = add(place, fci_arena_string(place->settings->arena, names),
                     NULL, NULL);
    }
    return status;
}

/* The part and the key are told apart once the parts are known: they stand
 * together in `part`. */
static fc_status
add_pair(const struct place *place, char *name, const char *value)
{
    struct fci_arena *arena = place->settings->arena;
    const char *whole = fci_arena_string(arena, fci_squeezed(name));
    const char *kept = fci_arena_string(arena, value);
    const char *dot = whole ? strrchr(whole, '.') : NULL;

    if (!whole || !kept)
        return FC_ENOMEM;
    if (!dot || dot == whole || !dot[1])
        return FAIL(place, "\"%s\" names no part and key; " EXPECTED,
                    fci_excerpt(whole).text);
    return add(place, whole, "", kept);
}

/* ---- On a command line ------------------------------------------------ */

/* Where an assignment ends: at a semicolon that is in no quotes. */
static char *
end_of(char *text)
{
    bool quoted = false;

    for (; *text && (quoted || *text != ';'); text++)
        quoted ^= *text == '"';
    return text;
}

/* The value between quotes, or as it was typed. */
static fc_status
unquote(const struct place *place, char **value)
{
    char *close;

    if (**value != '"')
        return FC_OK;
    close = strchr(*value + 1, '"');
    if (!close || close[1])
        return FAIL(place,
                    "the value begins with a quote that does not end it; a "
                    "second \" is expected at its end");
    *close = '\0';
    *value = fci_trimmed(*value + 1);
    return FC_OK;
}

static fc_status
add_assignment(const struct place *place, char *text)
{
    char *equals = strchr(text, '='), *name, *value;
    fc_status status;

    if (!equals)
        return FAIL(place, "\"%s\" has no \"=\"; " EXPECTED,
                    fci_excerpt(text).text);
    *equals = '\0';
    name = fci_squeezed(text);
    value = fci_trimmed(equals + 1);
    status = unquote(place, &value);
    if (status != FC_OK)
        return status;
    if (!*value)
        return FAIL(place, "\"%s\" has no value; expected one after \"=\"",
                    fci_excerpt(name).text);
    return fci_same_name(name, WITHOUT) ? add_without(place, value)
                                        : add_pair(place, name, value);
}

static fc_status
plain_copy(const struct place *place, char **plain)
{
    const size_t n = strlen(place->text);
    struct fci_not_text wrong;

    if (n > FCI_LONGEST_LINE)
        return FAIL(place, "it is %zu bytes long; at most %u can be read", n,
                    FCI_LONGEST_LINE);
    *plain = fci_arena_alloc(place->settings->arena, n + 1);
    if (!*plain)
        return FC_ENOMEM;
    if (!fci_plain_line(place->text, n, *plain, &wrong))
        return FAIL(place,
                    "byte %zu is no text; one line of UTF-8 is "
                    "expected",
                    wrong.column);
    return FC_OK;
}

fc_status
fci_settings_of_text(struct fci_settings *settings, const char *text,
                     fc_diagnostics *messages)
{
    struct place place = {
        .settings = settings,
        .text = fci_arena_string(settings->arena, text),
        .file = fci_arena_printf(settings->arena, "--set %s", text),
        .messages = messages,
    };
    char *at, *end, *plain = NULL;
    bool more = true;
    size_t before = settings->n;
    fc_status status;

    if (!place.text || !place.file)
        return FC_ENOMEM;
    status = plain_copy(&place, &plain);
    for (at = plain; status == FC_OK && more; at = end + 1) {
        end = end_of(at);
        more = *end != '\0';
        *end = '\0';
        at = fci_trimmed(at);
        if (*at)
            status = add_assignment(&place, at);
    }
    if (status == FC_OK && settings->n == before)
        status = FAIL(&place, "nothing is set; " EXPECTED);
    return status;
}

/* ---- In a case -------------------------------------------------------- */

fc_status
fci_settings_of_case(struct fci_settings *settings,
                     const struct fci_section *section, const char *path,
                     fc_diagnostics *messages)
{
    const struct fci_heading heading =
        fci_heading(section->kind, section->name);
    struct place place = { .settings = settings,
                           .file = path,
                           .messages = messages };
    fc_status status = FC_OK, worst = FC_OK;

    settings->of = fci_arena_string(settings->arena, heading.text);
    if (!settings->of)
        return FC_ENOMEM;
    for (size_t i = 0; i < section->n_entries && status != FC_ENOMEM; i++) {
        const struct fci_entry *entry = &section->entries[i];
        char *value = fci_arena_string(settings->arena, entry->value);
        char *key = fci_arena_string(settings->arena, entry->key);

        if (!value || !key)
            return FC_ENOMEM;
        place.line = entry->line;
        if (strcmp(key, TITLE) == 0)
            settings->title = value;
        else if (strcmp(key, WITHOUT) == 0)
            status = add_without(&place, value);
        else
            status = add_pair(&place, key, value);
        if (status != FC_OK)
            worst = status;
    }
    return status == FC_ENOMEM ? status : worst;
}

const char *
fci_setting_said(const fc_set_value *setting, bool alone,
                 struct fci_arena *arena)
{
    if (!setting->key)
        return fci_arena_printf(arena, "%s taken out", setting->part);
    if (alone)
        return fci_arena_printf(arena, "%s.%s = %s", setting->part,
                                setting->key, setting->value);
    return fci_arena_printf(arena, "%s.%s = %s (file: %s)", setting->part,
                            setting->key, setting->value,
                            setting->differs ? "differs by floor"
                            : setting->was   ? setting->was
                                             : "not given");
}

void
fci_settings_free(struct fci_settings *settings)
{
    free(settings->list);
    settings->list = NULL;
    settings->n = settings->room = 0;
}
