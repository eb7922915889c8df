/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/quick/values.c -- what stands behind "=". */
#include "quick/figures.h"
#include "ground/diagnostics.h"
#include "ground/synonyms.h"
#include "units/scan_figure.h"
#include "units/units.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#define MOST_VALVES 200

/* What a figure is, bare and at its limits.  No limits: words. */
static const struct {
    fc_dimension dimension;
    const char *unit, *limits;
    const char *what; /* that it cannot be out of these limits */
} figures_of[FCI_Q_KEYS] = {
    [FCI_Q_MAIN] = { FC_PRESSURE, "psi", "1..280 psi",
                     "a pressure that a main has" },
    [FCI_Q_UP] = { FC_LENGTH, "ft", "-500..1500 ft",
                   "a height that a valve is at" },
    [FCI_Q_STILL] = { FC_PRESSURE, "psi", "0..280 psi",
                      "a pressure that a valve has" },
    [FCI_Q_ONE] = { FC_PRESSURE, "psi", "0..280 psi",
                    "a pressure that a valve has" },
    [FCI_Q_TWO] = { FC_PRESSURE, "psi", "0..280 psi",
                    "a pressure that a valve has" },
    [FCI_Q_THREE] = { FC_PRESSURE, "psi", "0..280 psi",
                      "a pressure that a valve has" },
    [FCI_Q_NEED] = { FC_PRESSURE, "psi", "1..100 psi",
                     "a pressure that a valve requires" },
    [FCI_Q_LENGTH] = { FC_LENGTH, "ft", "0.1..20000 ft", "a length of pipe" },
    [FCI_Q_SIZE] = { FC_SIZE, "in", NULL, NULL },
    [FCI_Q_FLOW] = { FC_FLOW, "gpm", "0.01..1000 gpm",
                     "a flow that a line gives" },
    [FCI_Q_GAL] = { FC_VOLUME, "gal", "0.01..1000 gal",
                    "a volume that is caught or flushed" },
    [FCI_Q_IN] = { FC_TIME, "s", "0.5..3600 s",
                   "a time in which water is caught" },
    [FCI_Q_FLUSH] = { FC_TIME, "s", "0.5..300 s",
                      "a time that a flush takes" },
};

const struct fci_quick_valve fci_quick_valves[] = {
    { "closet", "water closet, flush valve" },
    { "blowout", "water closet, blowout, flush valve" },
    { "urinal", "urinal, flush valve" },
};
#define N_VALVES (sizeof fci_quick_valves / sizeof *fci_quick_valves)

/* ---- A figure ---------------------------------------------------------- */

/* Typographic quotes become the plain ones that stand for feet and inches. */
static char *
plain_quotes(struct fci_arena *arena, const char *text)
{
    static const struct {
        const char *from;
        char to;
    } quotes[] = {
        { "\xe2\x80\x98", '\'' }, { "\xe2\x80\x99", '\'' },
        { "\xe2\x80\xb2", '\'' }, { "\xe2\x80\x9c", '"' },
        { "\xe2\x80\x9d", '"' },  { "\xe2\x80\xb3", '"' },
    };
    char *plain = fci_arena_string(arena, text), *to = plain;

    while (plain && *text) {
        size_t i = 0;

        while (i < sizeof quotes / sizeof *quotes
               && strncmp(text, quotes[i].from, 3) != 0)
            i++;
        if (i < sizeof quotes / sizeof *quotes) {
            *to++ = quotes[i].to;
            text += 3;
        } else {
            *to++ = *text++;
        }
    }
    if (plain)
        *to = '\0';
    return plain;
}

/* Whether all of it stands there before the next blank or the end. */
static size_t
word_at(const char *text, const char *word)
{
    const size_t n = strlen(word);

    return strncmp(text, word, n) == 0 && (!text[n] || text[n] == ' ') ? n : 0;
}

/* Figures and what joins them, in whatever characters, and no unit. */
static bool
is_bare(const char *text)
{
    const char *p = text;

    while (*p) {
        if (word_at(p, "to") > 0)
            p += 2;
        else if (strchr("0123456789./- ", *p) || (unsigned char)*p > 127)
            p++;
        else
            return false;
    }
    return p > text;
}

/* "1..280 psi" in words: "1 to 280 psi"; the same out of memory. */
static const char *
spoken(struct fci_arena *arena, const char *limits)
{
    const char *dots = strstr(limits, "..");
    const char *words =
        dots ? fci_arena_printf(arena, "%.*s to %s", (int)(dots - limits),
                                limits, dots + 2)
             : NULL;

    return words ? words : limits;
}

/* Forms that are not read, and how to write what they mean; false, and
 * said. */
static bool
check_form(enum fci_quick_key key, const char *text, fc_diagnostics *messages)
{
    const fc_quick_key *keys;
    const char *about = strstr(text, "+-"), *at = strchr(text, '@');

    fc_quick_keys(&keys);
    if (!about)
        about = strstr(text, "+/-");
    if (!about)
        about = strstr(text, "\xc2\xb1"); /* plus-minus */
    if (!at && (at = strstr(text, " at ")))
        at += 3;
    if (about) {
        fci_fail(messages, FC_EINPUT, NULL, 0,
                 "%s: \"%.60s\" is not read; a range such as 43..47 is "
                 "expected",
                 keys[key].key, text);
    } else if (at && figures_of[key].dimension == FC_PRESSURE) {
        const char *pressure = at + 1 + strspn(at + 1, " ");

        fci_fail(messages, FC_EINPUT, NULL, 0,
                 "%s: \"%.60s\" is a flow at a pressure; the pressure alone, "
                 "%s=\"%.40s\", is expected",
                 keys[key].key, text, keys[key].key, pressure);
    } else if (figures_of[key].dimension == FC_PRESSURE && is_bare(text)
               && strchr(text, '/')) {
        fci_fail(messages, FC_EINPUT, NULL, 0,
                 "%s: \"%.60s\" may be two pressures; one, or a range such as "
                 "40..45, is expected",
                 keys[key].key, text);
    } else {
        return true;
    }
    return false;
}

/* A figure by its key; false, and said. */
static bool
read_figure(struct fci_arena *arena, enum fci_quick_key key, const char *text,
            struct fci_quick_figure *figure, fc_diagnostics *messages)
{
    fc_range *value = &figure->value;
    const fc_dimension dimension = figures_of[key].dimension;
    const fc_quick_key *keys;
    struct fci_reason why;
    fc_range limits;
    const char *with = text;

    fc_quick_keys(&keys);
    if (!check_form(key, text, messages))
        return false;
    if (is_bare(text))
        with = fci_arena_printf(arena, "%s %s", text, figures_of[key].unit);
    if (!with)
        return false;
    figure->said = with;
    if (!fci_read_figure(with, dimension, true, value, &why)) {
        fci_fail(messages, FC_EINPUT, NULL, 0, "%s: %s", keys[key].key,
                 why.text);
        return false;
    }
    if (!figures_of[key].limits
        || !fci_read_figure(figures_of[key].limits, dimension, true, &limits,
                            NULL)
        || (value->low >= limits.low && value->high <= limits.high))
        return true;
    fci_fail(messages, FC_EINPUT, NULL, 0,
             "%s: \"%.60s\" is not %s; %s is expected", keys[key].key, text,
             figures_of[key].what, spoken(arena, figures_of[key].limits));
    return false;
}

/* ---- Words ------------------------------------------------------------ */

/* "4", "urinal", "3 closets" */
static bool
read_valves(struct fci_quick_figures *figures, const char *text,
            fc_diagnostics *messages)
{
    char *rest = NULL;
    char one[64]; /* "toilets" are of the kind "toilet" */
    long count = 0;
    size_t length;

    if (isdigit((unsigned char)*text)) {
        count = strtol(text, &rest, 10);
        text = rest + strspn(rest, " ");
        if (count < 1 || count > MOST_VALVES) {
            fci_fail(messages, FC_EINPUT, NULL, 0,
                     "valves: 1 to %d at once are expected", MOST_VALVES);
            return false;
        }
    }
    figures->valves = (int)count;
    length = strlen(text);
    snprintf(one, sizeof one, "%s", text);
    if (length > 0 && length < sizeof one
        && tolower((unsigned char)one[length - 1]) == 's')
        one[length - 1] = '\0';
    for (size_t i = 0; i < N_VALVES; i++) {
        const size_t word = strlen(fci_quick_valves[i].word);
        const bool plural =
            length == word + 1 && tolower((unsigned char)text[word]) == 's';

        if (((length == word || plural)
             && strncasecmp(text, fci_quick_valves[i].word, word) == 0)
            || fci_means("fixtures", one, fci_quick_valves[i].fixture)
            || fci_means("fixtures", text, fci_quick_valves[i].fixture)) {
            figures->valve = &fci_quick_valves[i];
            return true;
        }
    }
    if (length == 0 && count > 0)
        return true;
    fci_fail(messages, FC_EINPUT, NULL, 0,
             "valves: \"%.60s\" is not known; how many flush at once, and of "
             "closet, blowout or urinal, such as \"3 urinals\", is expected",
             text);
    return false;
}

/* The site that is made knows the materials; nothing else may get into it. */
static bool
read_material(const char *text, fc_diagnostics *messages)
{
    while (*text && (isalnum((unsigned char)*text) || strchr(" .-/", *text)))
        text++;
    if (!*text)
        return true;
    fci_fail(messages, FC_EINPUT, NULL, 0,
             "pipe: a material of flushcalc tables pipe, such as copper L, is "
             "expected");
    return false;
}

bool
fci_quick_read_value(struct fci_quick_figures *figures,
                     struct fci_arena *arena, enum fci_quick_key key,
                     const char *text, fc_diagnostics *messages)
{
    struct fci_quick_figure *figure = &figures->of[key];
    char *plain = plain_quotes(arena, text);

    if (!plain)
        return false;
    figure->text = figure->said = plain;
    if (key == FCI_Q_VALVES)
        return read_valves(figures, plain, messages);
    if (key == FCI_Q_PIPE)
        return read_material(plain, messages);
    return read_figure(arena, key, plain, figure, messages);
}

bool
fci_quick_goes_on(struct fci_arena *arena, enum fci_quick_key key,
                  const char *text, const char *word)
{
    const char *both;
    fc_range value;

    if (!figures_of[key].unit || !is_bare(text))
        return false;
    both = fci_arena_printf(arena, "%s %s", text, word);
    return both
           && fci_read_figure(both, figures_of[key].dimension, true, &value,
                              NULL);
}
