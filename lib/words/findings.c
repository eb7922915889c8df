/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/words/findings.c -- the list of findings and assumptions. */
#include "words/findings.h"
#include "ground/plain_print.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const char *
fc_finding_about(fc_finding_code code)
{
    static const char *const abouts[] = {
#define ABOUT(code, about) about,
        FC_FINDING_LIST(ABOUT)
#undef ABOUT
    };

    return (size_t)code < sizeof abouts / sizeof *abouts ? abouts[code] : "";
}

/* ---- Sentences -------------------------------------------------------- */

struct sentence {
    fc_unit_system units;
    const char *text; /* with {keys} */
    const char *when; /* for {when} */
    const struct fci_figure *figures;
};

static bool
is_key(const char *key, const char *text, size_t n)
{
    return strlen(key) == n && strncmp(key, text, n) == 0;
}

/* Appends the words for the key that is n long; with `out` NULL nothing.
 * Returns their length. */
static size_t
put_words(const struct sentence *s, const char *key, size_t n, char *out)
{
    const struct fci_figure *figure = s->figures;
    struct fci_shown shown;
    const char *words = s->when;

    if (!is_key("when", key, n)) {
        while (figure->key && !is_key(figure->key, key, n))
            figure++;
        shown = fci_show_range(s->units, figure->dimension, figure->value);
        words = figure->as ? figure->as : shown.text;
    }
    n = strlen(words);
    if (out)
        memcpy(out, words, n);
    return n;
}

/* With its words put in; with `out` NULL the length alone. */
static size_t
put_sentence(const struct sentence *s, char *out)
{
    const char *text = s->text;
    size_t length = 0;

    while (*text) {
        const size_t plain = strcspn(text, "{");

        if (out)
            memcpy(out + length, text, plain);
        length += plain;
        text += plain;
        if (*text) {
            const size_t n = strcspn(text, "}");

            length += put_words(s, text + 1, n - 1, out ? out + length : NULL);
            text += n + 1;
        }
    }
    if (out)
        out[length] = '\0';
    return length;
}

struct fci_shown
fci_one_decimal(double x)
{
    struct fci_shown shown;

    fci_print(shown.text, sizeof shown.text, "%.1f", x);
    return shown;
}

/* ---- The list --------------------------------------------------------- */

/* The figures alone, without the words beside them. */
static const fc_figure *
keep_figures(struct fci_arena *arena, const struct fci_figure *figures,
             size_t *n)
{
    const struct fci_figure *from;
    fc_figure *kept;

    for (*n = 0, from = figures; from->key; from++)
        *n += from->value.given;
    kept = fci_arena_array(arena, *n, sizeof *kept);
    for (*n = 0, from = figures; kept && from->key; from++)
        if (from->value.given)
            kept[(*n)++] = (fc_figure){ .what = from->key,
                                        .dimension = from->dimension,
                                        .value = from->value };
    return kept;
}

static const char *
when_of(unsigned states)
{
    return states & FC_IN(FC_RETROFIT)   ? " after retrofit"
           : states & FC_IN(FC_EXISTING) ? " with existing valves"
                                         : "";
}

fc_finding *
fci_find(struct fci_findings *f, fc_severity severity, const char *subject,
         unsigned states, fc_finding_code code, const char *sentence,
         const struct fci_figure *figures)
{
    static const struct fci_figure none = FCI_WORD(NULL, NULL);
    fc_finding *list = fci_grow(f->list, f->n, &f->room, sizeof *list);
    fc_finding found = { .severity = severity,
                         .code = code,
                         .subject = subject,
                         .states = f->converted ? states : 0,
                         .about = fc_finding_about(code) };
    const struct sentence s = { f->units, sentence, when_of(found.states),
                                figures ? figures : &none };
    char *text = fci_arena_alloc(f->arena, put_sentence(&s, NULL) + 1);

    found.figures = keep_figures(f->arena, s.figures, &found.n_figures);
    if (list)
        f->list = list;
    if (!list || !text || !found.figures) {
        f->arena->failed = true;
        return NULL;
    }
    put_sentence(&s, text);
    found.text = text;
    found.says_state = *s.when && strstr(sentence, "{when}");
    f->list[f->n] = found;
    return &f->list[f->n++];
}

void
fci_assume(struct fci_findings *f, const char *format, ...)
{
    const char **list = fci_grow(f->assumptions, f->n_assumptions,
                                 &f->assumptions_room, sizeof *list);
    va_list args;
    char *text;

    va_start(args, format);
    text = fci_arena_vprintf(f->arena, format, args);
    va_end(args);
    if (list)
        f->assumptions = list;
    if (!list || !text)
        f->arena->failed = true;
    else
        list[f->n_assumptions++] = text;
}

/* What a sentence parts by a comma from what follows. */
static const char *
without_comma(struct fci_arena *arena, const char *what)
{
    const size_t n = strlen(what);

    return n > 0 && what[n - 1] == ','
               ? fci_arena_substring(arena, what, n - 1)
               : what;
}

void
fci_override(struct fci_findings *f, unsigned states, const char *by,
             const char *what, const char *set, const char *code)
{
    const char *state = states == FC_IN(FC_EXISTING)   ? ", existing"
                        : states == FC_IN(FC_RETROFIT) ? ", after retrofit"
                                                       : "";
    fc_override *list = fci_grow(f->overrides, f->n_overrides,
                                 &f->overrides_room, sizeof *list);
    const char *text =
        what && set && code
            ? fci_arena_printf(f->arena,
                               "Set by the file%s: %s %s; by %s it would be "
                               "%s.",
                               state, what, set, by, code)
            : NULL;

    if (list)
        f->overrides = list;
    if (!list || !text)
        f->arena->failed = true;
    else
        list[f->n_overrides++] =
            (fc_override){ .what = without_comma(f->arena, what),
                           .set = set,
                           .code = code,
                           .text = text,
                           .states = states };
}

fc_status
fci_findings_take(struct fci_findings *f, struct fci_told *told)
{
    fc_finding *sorted = fci_arena_array(f->arena, f->n, sizeof *sorted);
    const char **assumptions = fci_arena_copy(
        f->arena, f->assumptions, f->n_assumptions * sizeof *assumptions);
    const fc_override *overrides = fci_arena_copy(
        f->arena, f->overrides, f->n_overrides * sizeof *overrides);
    size_t i, n = 0;
    int severity;

    if (f->arena->failed)
        return FC_ENOMEM;
    for (severity = FC_FAIL; severity >= FC_NOTE; severity--)
        for (i = 0; i < f->n; i++)
            if (f->list[i].severity == (fc_severity)severity)
                sorted[n++] = f->list[i];
    told->findings = sorted;
    told->n_findings = n;
    told->assumptions = assumptions;
    told->n_assumptions = f->n_assumptions;
    told->overrides = overrides;
    told->n_overrides = f->n_overrides;
    return FC_OK;
}

void
fci_findings_free(struct fci_findings *f)
{
    free(f->list);
    free(f->assumptions);
    free(f->overrides);
}
