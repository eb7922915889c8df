/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/quick/figures.c -- "main=52 up=16ft" read. */
#include "quick/figures.h"
#include "ground/call.h"
#include "ground/diagnostics.h"
#include "ground/names.h"
#include "units/units.h"

#include <ctype.h>
#include <string.h>

#define MOST_FLUSHED 0.0378542 /* m3, 10 gal: as of a valve in a file */

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

size_t
fc_quick_keys(const fc_quick_key **list)
{
    if (list)
        *list = keys;
    return FCI_Q_KEYS;
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
        fci_fail(messages, FC_EUNKNOWN, NULL, 0,
                 "\"%.60s\" is not known; did you mean \"%s\"?", word,
                 fci_nearest_word(&nearest));
    else
        fci_fail(messages, FC_EUNKNOWN, NULL, 0,
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

/* The figure before a word that is a part of it: "up=16" "ft". */
static bool
is_part_of(struct fci_arena *arena, const char *before, const char *word)
{
    const char *sign = before ? strchr(before, '=') : NULL;
    const char *name =
        sign ? trimmed(arena, before, (size_t)(sign - before)) : NULL;
    const enum fci_quick_key key = name ? key_named(name) : FCI_Q_KEYS;

    return key != FCI_Q_KEYS && fci_quick_goes_on(arena, key, sign + 1, word);
}

/* A word that is neither KEY=VALUE nor a volume or flow. */
static void
fail_unsaid(struct fci_arena *arena, const char *before, const char *text,
            fc_diagnostics *messages)
{
    const enum fci_quick_key key = key_named(text);

    if (is_part_of(arena, before, text))
        fci_fail(messages, FC_EINPUT, NULL, 0,
                 "\"%.60s\" stands apart from its figure; %.60s%.60s or "
                 "\"%.60s %.60s\" in quotes is expected",
                 text, before, text, before, text);
    else if (key != FCI_Q_KEYS)
        fci_fail(messages, FC_EINPUT, NULL, 0,
                 "%s has no value; %s=VALUE (%s) is expected", keys[key].key,
                 keys[key].key, keys[key].may_be);
    else
        fci_fail(messages, FC_EINPUT, NULL, 0,
                 "\"%.60s\" does not say what it is; KEY=VALUE such as "
                 "main=52 is expected",
                 text);
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
    if (key == FCI_Q_KEYS && !sign) {
        fail_unsaid(arena, before, text, messages);
    } else if (key == FCI_Q_KEYS) {
        fail_unknown(name, messages);
    } else if (!*text) {
        fci_fail(messages, FC_EINPUT, NULL, 0,
                 "%s= has no value; %s, is expected", keys[key].key,
                 keys[key].may_be);
    } else if (figures->of[key].text) {
        fci_fail(messages, FC_EINPUT, NULL, 0,
                 "%s= is given twice; one is expected", keys[key].key);
    } else {
        return fci_quick_read_value(figures, arena, key, text, messages);
    }
    return false;
}

/* Where the next KEY= begins in a word behind its first: "59oz in=5s"; its
 * end: nowhere. */
static const char *
next_key(const char *word)
{
    for (const char *p = word; *p; p++) {
        if (*p != ' ')
            continue;
        for (int i = 0; i < FCI_Q_KEYS; i++) {
            const char *key = keys[i].key;
            const size_t n = strlen(key);

            if (strncmp(p + 1, key, n) == 0
                && p[1 + n + strspn(p + 1 + n, " ")] == '=')
                return p;
        }
    }
    return word + strlen(word);
}

/* Each KEY=VALUE of a word that holds several. */
static bool
read_word(struct fci_quick_figures *figures, struct fci_arena *arena,
          const char *word, const char *before, fc_diagnostics *messages)
{
    bool understood = true;

    do {
        const char *end = next_key(word);
        const char *one =
            fci_arena_substring(arena, word, (size_t)(end - word));

        understood &=
            one && read_argument(figures, arena, one, before, messages);
        before = one;
        word = *end ? end + 1 : end;
    } while (*word);
    return understood;
}

/* Words joined around "=" and "to", from the first of them on; *n words were.
 */
static const char *
joined(struct fci_arena *arena, const char *const *words, size_t left,
       size_t *n)
{
    const char *word = words[0];

    for (*n = 1; word && *n < left; ++*n) {
        const size_t length = strlen(word);

        if (strcmp(words[*n], "to") == 0 && *n + 1 < left) {
            word = fci_arena_printf(arena, "%s to %s", word, words[++*n]);
            continue;
        }
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
    else if (has(f, FCI_Q_FLUSH) && f->of[FCI_Q_GAL].value.high > MOST_FLUSHED)
        wrong = "gal= with flush= is what one flush takes; up to 10 gal is "
                "expected";
    if (wrong)
        fci_fail(messages, FC_EINPUT, NULL, 0, "%s", wrong);
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
            fci_fail(messages, FC_EINPUT, NULL, 0,
                     "%s= was read with %d flushing; valves=%d is fewer",
                     keys[key].key, i + 1, f->valves);
            fits = false;
        }
    }
    if (!read) {
        fci_fail(messages, FC_EINPUT, NULL, 0,
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
    figures->valve = fci_quick_valves;
    for (size_t i = 0; i < n; i += taken) {
        const char *word = joined(arena, words + i, n - i, &taken);

        understood &=
            word && read_word(figures, arena, word, before, messages);
        before = word;
    }
    if (arena->failed)
        return FC_ENOMEM;
    return understood && check_together(figures, messages) ? FC_OK : FC_EINPUT;
}

fc_status
fc_quick_try(const char *key, const char *value, fc_diagnostics *messages)
{
    if (FCI_REFUSES(messages, FCI_GIVEN(key), FCI_GIVEN(value)))
        return FC_EINPUT;

    struct fci_quick_figures figures = { .valve = fci_quick_valves };
    struct fci_arena arena = { 0 };
    const enum fci_quick_key named = key_named(key);
    fc_status status = FC_EUNKNOWN;

    if (named == FCI_Q_KEYS)
        fail_unknown(key, messages);
    else if (fci_quick_read_value(&figures, &arena, named, value, messages))
        status = FC_OK;
    else
        status = FC_EINPUT;
    if (arena.failed)
        status = FC_ENOMEM;
    fci_arena_free(&arena);
    return status;
}
