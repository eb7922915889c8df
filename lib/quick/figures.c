/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/quick/figures.c -- "main=52 up=16ft" read. */
#include "quick/figures.h"
#include "ground/diagnostics.h"
#include "ground/names.h"
#include "units/scan_figure.h"
#include "units/units.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#define FILE_NAME "quick"
#define MOST_VALVES 200

/* ---- The keys ---------------------------------------------------------- */

static const fc_quick_key keys[FCI_Q_KEYS] = {
    { .key = "main",
      .asks = "Static pressure at the main, or at the first gauge",
      .may_be = "psi, such as 52" },
    { .key = "up",
      .asks = "How far the valve is above that gauge",
      .may_be = "ft, such as 16 or 16ft6in; below it: -4" },
    { .key = "still",
      .asks = "Static pressure at the valve",
      .may_be = "psi, such as 45" },
    { .key = "one",
      .asks = "Pressure at the valve while it alone flushes",
      .may_be = "psi, such as 20" },
    { .key = "two",
      .asks = "Pressure there while two flush",
      .may_be = "psi, such as 9" },
    { .key = "three",
      .asks = "Pressure there while three flush",
      .may_be = "psi, such as 5" },
    { .key = "need",
      .asks = "Minimum flowing pressure of the valve, by its data sheet",
      .may_be = "psi, such as 25" },
    { .key = "valves",
      .asks = "How many may flush at once, and of what",
      .may_be = "2, urinal, 3 closets; closet, blowout or urinal" },
    { .key = "length",
      .asks = "Length of pipe from the main to the valve",
      .may_be = "ft, such as 60 or 50..80" },
    { .key = "size",
      .asks = "Nominal size of that pipe",
      .may_be = "in, such as 1-1/4" },
    { .key = "pipe",
      .asks = "Its material",
      .may_be = "copper L, steel sch 40; see flushcalc tables pipe" },
    { .key = "flow",
      .asks = "What the open line at the valve gives",
      .may_be = "gpm, such as 12" },
    { .key = "gal",
      .asks = "Or what was caught there, or what a flush takes",
      .may_be = "gal, such as 1 or 59oz" },
    { .key = "in",
      .asks = "In what time it was caught from the open line",
      .may_be = "seconds, such as 30" },
    { .key = "flush",
      .asks = "How long a flush takes",
      .may_be = "seconds, such as 4" },
};

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

static const struct fci_quick_valve valves[] = {
    { "closet", "water closet, flush valve" },
    { "blowout", "water closet, blowout, flush valve" },
    { "urinal", "urinal, flush valve" },
};
#define N_VALVES (sizeof valves / sizeof *valves)

size_t
fc_quick_keys(const fc_quick_key **list)
{
    *list = keys;
    return FCI_Q_KEYS;
}

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

static bool
is_bare(const char *text)
{
    return text[strspn(text, "0123456789./- ")] == '\0' && *text;
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

/* A figure by its key; false, and said. */
static bool
read_figure(struct fci_arena *arena, enum fci_quick_key key, const char *text,
            struct fci_quick_figure *figure, fc_diagnostics *messages)
{
    fc_range *value = &figure->value;
    const fc_dimension dimension = figures_of[key].dimension;
    struct fci_reason why;
    fc_range limits;
    const char *with = text;

    if (is_bare(text))
        with = fci_arena_printf(arena, "%s %s", text, figures_of[key].unit);
    if (!with)
        return false;
    figure->said = with;
    if (!fci_read_figure(with, dimension, true, value, &why)) {
        fci_fail(messages, FC_EINPUT, FILE_NAME, 0, "%s: %s", keys[key].key,
                 why.text);
        return false;
    }
    if (!figures_of[key].limits
        || !fci_read_figure(figures_of[key].limits, dimension, true, &limits,
                            NULL)
        || (value->low >= limits.low && value->high <= limits.high))
        return true;
    fci_fail(messages, FC_EINPUT, FILE_NAME, 0,
             "%s=%.60s is not %s; %s is expected", keys[key].key, text,
             figures_of[key].what, spoken(arena, figures_of[key].limits));
    return false;
}

/* "4", "urinal", "3 closets" */
static bool
read_valves(struct fci_quick_figures *figures, const char *text,
            fc_diagnostics *messages)
{
    char *rest = NULL;
    long count = 0;
    size_t length;

    if (isdigit((unsigned char)*text)) {
        count = strtol(text, &rest, 10);
        text = rest + strspn(rest, " ");
        if (count < 1 || count > MOST_VALVES) {
            fci_fail(messages, FC_EINPUT, FILE_NAME, 0,
                     "valves: 1 to %d at once are expected", MOST_VALVES);
            return false;
        }
    }
    figures->valves = (int)count;
    length = strlen(text);
    for (size_t i = 0; i < N_VALVES; i++) {
        const size_t word = strlen(valves[i].word);
        const bool plural =
            length == word + 1 && tolower((unsigned char)text[word]) == 's';

        if ((length == word || plural)
            && strncasecmp(text, valves[i].word, word) == 0) {
            figures->valve = &valves[i];
            return true;
        }
    }
    if (length == 0 && count > 0)
        return true;
    fci_fail(messages, FC_EINPUT, FILE_NAME, 0,
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
    fci_fail(messages, FC_EINPUT, FILE_NAME, 0,
             "pipe: a material of flushcalc tables pipe, such as copper L, is "
             "expected");
    return false;
}

static bool
read_value(struct fci_quick_figures *figures, struct fci_arena *arena,
           enum fci_quick_key key, const char *text, fc_diagnostics *messages)
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

/* ---- An argument ------------------------------------------------------- */

static const char *
trimmed(struct fci_arena *arena, const char *text, size_t length)
{
    while (length > 0 && isspace((unsigned char)text[length - 1]))
        length--;
    while (length > 0 && isspace((unsigned char)*text)) {
        text++;
        length--;
    }
    return fci_arena_substring(arena, text, length);
}

static enum fci_quick_key
key_named(const char *word)
{
    int key = 0;

    while (key < FCI_Q_KEYS && !fci_same_name(keys[key].key, word))
        key++;
    return (enum fci_quick_key)key;
}

static void
fail_unknown(const char *word, fc_diagnostics *messages)
{
    struct fci_nearest nearest = fci_nearest_to(word);
    char list[160] = "";
    size_t used = 0;

    for (int i = 0; i < FCI_Q_KEYS; i++) {
        fci_nearest_try(&nearest, keys[i].key);
        used += (size_t)snprintf(list + used, sizeof list - used, "%s%s",
                                 i > 0 ? ", " : "", keys[i].key);
    }
    if (fci_nearest_word(&nearest))
        fci_fail(messages, FC_EUNKNOWN, FILE_NAME, 0,
                 "\"%.60s\" is not known; did you mean \"%s\"?", word,
                 fci_nearest_word(&nearest));
    else
        fci_fail(messages, FC_EUNKNOWN, FILE_NAME, 0,
                 "\"%.60s\" is not known; known are %s", word, list);
}

/* A volume or a flow says by its unit what it is. */
static enum fci_quick_key
key_of_bare(const char *word)
{
    fc_range value;

    if (fci_read_figure(word, FC_VOLUME, true, &value, NULL))
        return FCI_Q_GAL;
    return fci_read_figure(word, FC_FLOW, true, &value, NULL) ? FCI_Q_FLOW
                                                              : FCI_Q_KEYS;
}

/* The figure before a word that is only its unit: "up=16" "ft". */
static bool
is_unit_of(struct fci_arena *arena, const char *before, const char *word)
{
    const char *sign = before ? strchr(before, '=') : NULL;
    const char *name =
        sign ? trimmed(arena, before, (size_t)(sign - before)) : NULL;
    const enum fci_quick_key key = name ? key_named(name) : FCI_Q_KEYS;
    const char *both;
    fc_range value;

    if (key == FCI_Q_KEYS || !figures_of[key].unit || !is_bare(sign + 1))
        return false;
    both = fci_arena_printf(arena, "%s %s", sign + 1, word);
    return both
           && fci_read_figure(both, figures_of[key].dimension, true, &value,
                              NULL);
}

static bool
read_argument(struct fci_quick_figures *figures, struct fci_arena *arena,
              const char *word, const char *before, fc_diagnostics *messages)
{
    const char *sign = strchr(word, '=');
    const char *name = trimmed(arena, word, sign ? (size_t)(sign - word) : 0);
    const char *text = sign ? sign + 1 : word;
    enum fci_quick_key key;

    text = trimmed(arena, text, strlen(text));
    if (!name || !text)
        return false;
    key = sign ? key_named(name) : key_of_bare(text);
    if (key == FCI_Q_KEYS && !sign && is_unit_of(arena, before, text)) {
        fci_fail(messages, FC_EINPUT, FILE_NAME, 0,
                 "\"%.60s\" stands apart from its figure; %.60s%.60s or "
                 "\"%.60s %.60s\" in quotes is expected",
                 text, before, text, before, text);
    } else if (key == FCI_Q_KEYS && !sign) {
        fci_fail(messages, FC_EINPUT, FILE_NAME, 0,
                 "\"%.60s\" does not say what it is; KEY=VALUE such as "
                 "main=52 is expected",
                 text);
    } else if (key == FCI_Q_KEYS) {
        fail_unknown(name, messages);
    } else if (!*text) {
        fci_fail(messages, FC_EINPUT, FILE_NAME, 0,
                 "%s has no value; %s is expected", keys[key].key,
                 keys[key].may_be);
    } else if (figures->of[key].text) {
        fci_fail(messages, FC_EINPUT, FILE_NAME, 0, "%s is given twice",
                 keys[key].key);
    } else {
        return read_value(figures, arena, key, text, messages);
    }
    return false;
}

/* Words joined around "=", from the first of them on; *n words were. */
static const char *
joined(struct fci_arena *arena, const char *const *words, size_t left,
       size_t *n)
{
    const char *word = words[0];

    for (*n = 1; word && *n < left; ++*n) {
        const size_t length = strlen(word);

        if (*words[*n] != '=' && (length == 0 || word[length - 1] != '='))
            break;
        word = fci_arena_printf(arena, "%s%s", word, words[*n]);
    }
    return word;
}

/* ---- What goes with what ----------------------------------------------- */

static bool
has(const struct fci_quick_figures *figures, enum fci_quick_key key)
{
    return figures->of[key].text != NULL;
}

static bool
check_volume(const struct fci_quick_figures *f, fc_diagnostics *messages)
{
    const char *wrong = NULL;

    if (has(f, FCI_Q_IN) && has(f, FCI_Q_FLUSH))
        wrong = "in= (water caught from the open line) and flush= (a flush of "
                "the valve) are two things; one of them is expected";
    else if (has(f, FCI_Q_IN) && has(f, FCI_Q_FLOW))
        wrong = "flow= and in= both tell what the open line gives; one of "
                "them is expected";
    else if (has(f, FCI_Q_IN) && !has(f, FCI_Q_GAL))
        wrong = "in= needs gal=, what was caught in that time";
    else if (has(f, FCI_Q_FLUSH) && !has(f, FCI_Q_GAL))
        wrong = "flush= needs gal=, what that flush took";
    else if (has(f, FCI_Q_GAL) && !has(f, FCI_Q_IN) && !has(f, FCI_Q_FLUSH))
        wrong = "gal= needs in=, the time in which it was caught from the "
                "open line, or flush=, the time of a flush";
    if (wrong)
        fci_fail(messages, FC_EINPUT, FILE_NAME, 0, "%s", wrong);
    return !wrong;
}

static bool
check_together(const struct fci_quick_figures *f, fc_diagnostics *messages)
{
    bool read = has(f, FCI_Q_MAIN) || has(f, FCI_Q_STILL), fits = true;

    for (int i = 0; i < FCI_Q_READ; i++) {
        const enum fci_quick_key key = (enum fci_quick_key)(FCI_Q_ONE + i);

        read |= has(f, key);
        if (has(f, key) && f->valves > 0 && f->valves < i + 1) {
            fci_fail(messages, FC_EINPUT, FILE_NAME, 0,
                     "%s= was read with %d flushing; valves=%d is fewer",
                     keys[key].key, i + 1, f->valves);
            fits = false;
        }
    }
    if (!read) {
        fci_fail(messages, FC_EINPUT, FILE_NAME, 0,
                 "no pressure is given; main=, still= or one= is expected");
        fits = false;
    }
    return check_volume(f, messages) && fits;
}

fc_status
fci_quick_read(struct fci_quick_figures *figures, struct fci_arena *arena,
               const char *const *words, size_t n, fc_diagnostics *messages)
{
    const char *before = NULL;
    bool understood = true;
    size_t taken;

    memset(figures, 0, sizeof *figures);
    figures->valve = &valves[0];
    for (size_t i = 0; i < n; i += taken) {
        const char *word = joined(arena, words + i, n - i, &taken);

        understood &=
            word && read_argument(figures, arena, word, before, messages);
        before = word;
    }
    if (arena->failed)
        return FC_ENOMEM;
    return understood && check_together(figures, messages) ? FC_OK : FC_EINPUT;
}

fc_status
fc_quick_try(const char *key, const char *value, fc_diagnostics *messages)
{
    struct fci_quick_figures figures = { .valve = &valves[0] };
    struct fci_arena arena = { 0 };
    const enum fci_quick_key named = key_named(key);
    fc_status status = FC_EUNKNOWN;

    if (named == FCI_Q_KEYS)
        fail_unknown(key, messages);
    else if (read_value(&figures, &arena, named, value, messages))
        status = FC_OK;
    else
        status = FC_EINPUT;
    if (arena.failed)
        status = FC_ENOMEM;
    fci_arena_free(&arena);
    return status;
}
