/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/finding_sorts.c -- the findings, each sort of them together.
 *
 * A large building has thousands of findings of few sorts.  The first of each
 * sort are shown and the rest counted; what is said of several fixtures in the
 * same words is said once.
 */
#include "ground/text_stream.h"
#include "page/screen.h"
#include "report/shared.h"
#include "report/words.h"

#include <stdlib.h>
#include <string.h>

#define MOST_OF_A_SORT 5
#define MOST_NAMES 12

/* The findings that concern a reader, and the place where each sort of them
 * begins. */
struct sorts {
    const struct fci_found *found;
    const char *subject; /* NULL: all subjects */
    size_t *firsts;
    size_t n;
};

static bool
is_of(const struct sorts *sorts, const fc_finding *f)
{
    return !sorts->subject || strcmp(f->subject, sorts->subject) == 0;
}

static bool
same_sort(const fc_finding *a, const fc_finding *b)
{
    return a->severity == b->severity && a->code == b->code
           && a->states == b->states;
}

static bool
find_sorts(struct sorts *sorts)
{
    const fc_finding *findings = sorts->found->findings;

    sorts->n = 0;
    sorts->firsts = calloc(sorts->found->n + 1, sizeof *sorts->firsts);
    for (size_t i = 0; sorts->firsts && i < sorts->found->n; i++) {
        size_t k = 0;

        if (!is_of(sorts, &findings[i]))
            continue;
        while (k < sorts->n
               && !same_sort(&findings[i], &findings[sorts->firsts[k]]))
            k++;
        if (k == sorts->n)
            sorts->firsts[sorts->n++] = i;
    }
    return sorts->firsts != NULL;
}

/* The next finding of the sort of `of`, from i on; n_findings: none. */
static size_t
next_of_sort(const struct sorts *sorts, const fc_finding *of, size_t i)
{
    while (i < sorts->found->n
           && !(is_of(sorts, &sorts->found->findings[i])
                && same_sort(&sorts->found->findings[i], of)))
        i++;
    return i;
}

/* Whether two sorts concern the same subjects. */
static bool
same_subjects(const struct sorts *sorts, size_t a, size_t b)
{
    const fc_finding *all = sorts->found->findings;
    const fc_finding *of_a = &all[a], *of_b = &all[b];
    size_t n = sorts->found->n;

    while (a < n && b < n && strcmp(all[a].subject, all[b].subject) == 0) {
        a = next_of_sort(sorts, of_a, a + 1);
        b = next_of_sort(sorts, of_b, b + 1);
    }
    return a == n && b == n;
}

static bool
same_figures(const fc_finding *a, const fc_finding *b)
{
    if (a->n_figures != b->n_figures)
        return false;
    for (size_t i = 0; i < a->n_figures; i++) {
        const fc_figure *x = &a->figures[i], *y = &b->figures[i];

        if (strcmp(x->what, y->what) != 0 || x->value.low < y->value.low
            || x->value.low > y->value.low)
            return false;
    }
    return true;
}

/* Of how many may flush at once the figures are all that is said: others are
 * not the same. */
static bool
are_twins(const fc_finding *a, const fc_finding *b)
{
    return a->severity == b->severity && a->code == b->code && a->states
           && b->states && (a->states & b->states) == 0
           && (a->code != FC_FOUND_AT_ONCE || same_figures(a, b));
}

/* The sort that says of the other state what sort k says of one, about the
 * same subjects; sorts->n: there is none. */
static size_t
twin_of(const struct sorts *sorts, size_t k)
{
    const fc_finding *all = sorts->found->findings;
    const fc_finding *of = &all[sorts->firsts[k]];
    size_t i;

    for (i = 0; i < sorts->n; i++)
        if (are_twins(of, &all[sorts->firsts[i]])
            && same_subjects(sorts, sorts->firsts[k], sorts->firsts[i]))
            break;
    return i;
}

/* "wc-1, wc-2 and 7 more (retrofit): ", in front of a text. */
static void
put_subjects(FILE *out, const struct sorts *sorts, size_t first, size_t n)
{
    const fc_finding *f = &sorts->found->findings[first];
    const char *state = f->says_state ? NULL : fci_finding_state_word(f);
    size_t i = first;

    for (size_t k = 0; k < n && k < MOST_NAMES && *f->subject; k++) {
        fprintf(out, "%s%s", k > 0 ? ", " : "",
                sorts->found->findings[i].subject);
        i = next_of_sort(sorts, f, i + 1);
    }
    if (n > MOST_NAMES)
        fprintf(out, " and %zu more", n - MOST_NAMES);
    if (state)
        fprintf(out, "%s(%s)", *f->subject ? " " : "", state);
    if (*f->subject || state)
        fputs(": ", out);
}

static void
say_finding(struct fci_doc *doc, const struct sorts *sorts, size_t first,
            size_t n)
{
    char *text = NULL;
    size_t size;
    FILE *out = fci_text_stream(&text, &size);

    if (!out) {
        doc->failed = true;
        return;
    }
    put_subjects(out, sorts, first, n);
    fputs(sorts->found->findings[first].text, out);
    if (fclose(out) != 0 || !text)
        doc->failed = true;
    else
        fci_doc_item(doc, "%s", text);
    free(text);
}

/* All of one sort; a run of the same words counts as one. */
static void
say_sort(struct fci_doc *doc, const struct sorts *sorts, size_t first)
{
    const fc_finding *all = sorts->found->findings;
    size_t shown = 0, left = 0, i = first;

    while (i < sorts->found->n) {
        size_t start = i, n = 0;

        do {
            n++;
            i = next_of_sort(sorts, &all[first], i + 1);
        } while (i < sorts->found->n
                 && strcmp(all[i].text, all[start].text) == 0);
        if (shown++ < MOST_OF_A_SORT)
            say_finding(doc, sorts, start, n);
        else
            left += n;
    }
    if (left > 0)
        fci_doc_item(
            doc, "and %zu more of these, about %s (all are in --format json)",
            left, all[first].about);
}

/* Too much pressure is a verdict of its own. */
static bool
is_too_high(const fc_finding *f)
{
    return f->code == FC_FOUND_MAXIMUM_STATIC
           || f->code == FC_FOUND_MAXIMUM_FLOWING;
}

/* Of each severity: first what concerns the judged state or both, then what
 * concerns the other and is not the same. */
static void
say_severity(struct fci_doc *doc, const struct sorts *sorts,
             fc_severity severity, bool too_high)
{
    static const char *const headings[] = { "Notes", "Warnings",
                                            "What fails" };
    fc_state judged = sorts->found->judged;
    bool headed = false;

    for (int other = 0; other < 2; other++) {
        for (size_t k = 0; k < sorts->n; k++) {
            size_t first = sorts->firsts[k];
            const fc_finding *f = &sorts->found->findings[first];
            bool is_other = f->states && !(f->states & FC_IN(judged));
            bool has_twin;

            if (f->severity != severity || is_other != (other == 1)
                || (severity == FC_FAIL && is_too_high(f) != too_high))
                continue;
            has_twin = twin_of(sorts, k) < sorts->n;
            if (is_other && has_twin)
                continue;
            if (!headed)
                fci_doc_heading(doc, "%s",
                                too_high ? "Too high" : headings[severity]);
            headed = true;
            say_sort(doc, sorts, first);
            if (has_twin)
                fci_doc_say(doc, "Existing: likewise.");
        }
    }
}

static void
say_findings(struct fci_doc *doc, const struct fci_found *found,
             const char *subject, bool harm, bool notes)
{
    struct sorts sorts = { found, subject, NULL, 0 };

    if (!find_sorts(&sorts))
        doc->failed = true;
    if (sorts.firsts && harm) {
        say_severity(doc, &sorts, FC_FAIL, false);
        say_severity(doc, &sorts, FC_FAIL, true);
        say_severity(doc, &sorts, FC_WARN, false);
    }
    if (sorts.firsts && notes)
        say_severity(doc, &sorts, FC_NOTE, false);
    free(sorts.firsts);
}

void
fci_part_findings(struct fci_doc *doc, const struct fci_found *found,
                  const char *subject)
{
    say_findings(doc, found, subject, true, true);
}

void
fci_part_harm(struct fci_doc *doc, const struct fci_found *found)
{
    say_findings(doc, found, NULL, true, false);
}

void
fci_part_notes(struct fci_doc *doc, const struct fci_found *found)
{
    say_findings(doc, found, NULL, false, true);
}

/* Not NULL where something fails but for too much pressure. */
static const fc_finding *
first_failing(const struct fci_found *found)
{
    for (size_t i = 0; i < found->n; i++) {
        const fc_finding *f = &found->findings[i];

        if (f->severity == FC_FAIL && *f->subject && !is_too_high(f)
            && (!f->states || f->states & FC_IN(found->judged)))
            return f;
    }
    return NULL;
}

const fc_finding *
fci_part_fails(struct fci_doc *doc, const struct fci_found *found)
{
    const fc_finding *f = first_failing(found);

    fci_part_verdict(doc, FC_WILL_NOT_WORK, found->judged, "%s%s%s.",
                     f ? f->subject : "", f ? ": " : "see the findings",
                     f ? f->text : "");
    return f;
}

/* ---- In brief --------------------------------------------------------- */

#define LEAST_ROOM 5 /* lines: a heading, one warning, and how many more */

/* The figure that tells how bad a finding is, the more the worse; 0: none
 * does. */
static double
badness(const fc_finding *f)
{
    for (size_t i = 0; i < f->n_figures; i++) {
        if (strcmp(f->figures[i].what, "velocity") == 0)
            return f->figures[i].value.high;
        if (strcmp(f->figures[i].what, "pressure") == 0)
            return -f->figures[i].value.low;
    }
    return 0.0;
}

/* "wc-1 and 7 more: ...", of the worst. */
static void
say_briefly(struct fci_doc *doc, const struct sorts *sorts, size_t first)
{
    const fc_finding *all = sorts->found->findings;
    const fc_finding *worst = &all[first];
    char more[32] = "";
    size_t n = 0;

    for (size_t i = first; i < sorts->found->n;
         i = next_of_sort(sorts, &all[first], i + 1), n++)
        if (badness(&all[i]) > badness(worst))
            worst = &all[i];
    if (n > 1)
        snprintf(more, sizeof more, " and %zu more", n - 1);
    fci_doc_item(doc, "%s%s%s%s", worst->subject, more,
                 *worst->subject ? ": " : "", worst->text);
}

/* What comes first: water that may be drawn back, what fails, what flows too
 * fast, the rest. */
static int
place_of(const fc_finding *f)
{
    return f->code == FC_FOUND_BACKFLOW   ? 0
           : f->severity == FC_FAIL       ? 1
           : f->code == FC_FOUND_VELOCITY ? 2
                                          : 3;
}

/* The only one of its sort. */
static bool
is_alone(const struct sorts *sorts, const fc_finding *f)
{
    const size_t at = (size_t)(f - sorts->found->findings);

    return next_of_sort(sorts, f, at + 1) == sorts->found->n;
}

static bool
is_minded(const struct sorts *sorts, const fc_finding *f,
          bool (*told)(const fc_finding *f))
{
    return f->severity != FC_NOTE && !is_too_high(f) && !(told && told(f))
           && (!f->states || f->states & FC_IN(sorts->found->judged));
}

void
fci_part_warnings(struct fci_doc *doc, const struct fci_found *found,
                  bool (*told)(const fc_finding *f), const fc_finding *quoted,
                  size_t kept)
{
    struct sorts sorts = { found, NULL, NULL, 0 };
    const unsigned forms = doc->forms;
    size_t left = 0;
    bool headed = false;

    if (!find_sorts(&sorts)) {
        doc->failed = true;
        return;
    }
    fci_doc_for(doc, FCI_IN_BRIEF);
    for (int place = 0; place < 4; place++)
        for (size_t k = 0; k < sorts.n; k++) {
            const fc_finding *f = &found->findings[sorts.firsts[k]];

            if (place_of(f) != place || !is_minded(&sorts, f, told)
                || (f == quoted && is_alone(&sorts, f)))
                continue;
            if (place > 0 && fci_screen_room(doc, kept) < LEAST_ROOM) {
                left++;
                continue;
            }
            if (!headed)
                fci_doc_heading(doc, "Warnings");
            headed = true;
            say_briefly(doc, &sorts, sorts.firsts[k]);
        }
    if (left > 0 && headed)
        fci_doc_item(doc, "and %zu more, see --full", left);
    else if (left > 0)
        fci_doc_say(doc, "%zu warning%s, see --full.", left,
                    left == 1 ? "" : "s");
    fci_doc_for(doc, forms);
    free(sorts.firsts);
}
