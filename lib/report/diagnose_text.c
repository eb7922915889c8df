/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/diagnose_text.c -- the report of `diagnose` for a person. */
#include "report/diagnose_report.h"
#include "page/screen.h"
#include "report/report.h"
#include "report/shared.h"
#include "report/words.h"

/* ---- The answer -------------------------------------------------------- */

/* By verdict: its word, its color, and what is said behind it; NULL: what was
 * found, or what is left. */
static const struct {
    enum fci_tint tint;
    const char *word, *sentence;
} verdicts[] = {
    [FC_NOTHING_READ] = { FCI_UNSURE,
                          "NOTHING READ YET:", "the first visit follows." },
    [FC_CHECKS_OUT] = { FCI_GOOD, "CHECKS OUT:",
                        "piping and supply are as entered. Look at the valve, "
                        "the bowl or the drain." },
    [FC_CHECKS_OUT_SHORT] = { FCI_BAD,
                              "PIPING CHECKS OUT, TOO LITTLE PRESSURE:",
                              NULL },
    [FC_STATIC_ONLY] = { FCI_UNSURE, "NOT TRIED FLOWING:",
                         "static readings check out; they tell nothing of "
                         "meters, pipes and valves. Take a reading with one "
                         "valve open, at its inlet and at the supply." },
    [FC_ONE_FAULT] = { FCI_BAD, "FOUND:", NULL },
    [FC_TWO_FAULTS] = { FCI_BAD, "TWO FAULTS:", NULL },
    [FC_NARROWED_DOWN] = { FCI_UNSURE, "NARROWED DOWN:", NULL },
    [FC_NOT_EXPLAINED] = { FCI_UNSURE, "CANNOT TELL:",
                           "neither one fault nor two explain these readings. "
                           "More differs from the file, or a reading is "
                           "wrong." },
    [FC_READINGS_DISAGREE] = { FCI_UNSURE, "READINGS DON'T AGREE",
                               "with each other; take them again before you "
                               "act "
                               "on them." },
};

static const char *
short_by(const fc_diagnosis *d)
{
    for (size_t i = 0; i < d->n_findings; i++)
        if (d->findings[i].code == FC_FOUND_TOO_LITTLE)
            return d->findings[i].text;
    return "a valve is below its minimum";
}

static void
say_likeliest(struct fci_doc *doc, const fc_diagnosis *d, size_t most)
{
    const enum fci_tint tint = verdicts[d->verdict].tint;
    const char *word = verdicts[d->verdict].word;
    const char *text = fci_arena_printf(
        &doc->arena, "%s%s.",
        d->n_others + d->less_likely > 0 ? "most likely " : "", d->likeliest);

    if (!text)
        return;
    fci_doc_for(doc, FCI_IN_BRIEF);
    fci_doc_verdict(doc, tint, word, "%s",
                    fci_screen_short(doc, text, most + 2));
    fci_doc_for(doc, FCI_IN_DEPTH);
    fci_doc_verdict(doc, tint, word, "%s", text);
    fci_doc_for(doc, FCI_IN_ALL);
}

static void
say_word(struct fci_doc *doc, const fc_diagnosis *d, size_t most)
{
    const enum fci_tint tint = verdicts[d->verdict].tint;
    const char *word = verdicts[d->verdict].word;
    const char *sentence = verdicts[d->verdict].sentence;

    if (d->verdict == FC_NOTHING_READ && d->found)
        fci_doc_verdict(
            doc, FCI_BAD,
            "SEEN:", "%s. No reading yet: the first visit follows.", d->found);
    else if (sentence)
        fci_doc_verdict(doc, tint, word, "%s", sentence);
    else if (d->verdict == FC_NARROWED_DOWN)
        say_likeliest(doc, d, most);
    else
        fci_doc_verdict(doc, tint, word, "%s.",
                        d->verdict == FC_CHECKS_OUT_SHORT ? short_by(d)
                                                          : d->found);
}

static void
count_others(struct fci_doc *doc, const fc_diagnosis *d, size_t n)
{
    if (n > 0)
        fci_doc_item(doc, "%s%zu less likely cause%s%s",
                     n < d->n_others + d->less_likely ? "and " : "", n,
                     n == 1 ? "" : "s",
                     doc->forms == FCI_IN_BRIEF ? ", see --full" : "");
}

/* Where else it may be; those that are not named are counted. */
static void
say_others(struct fci_doc *doc, const fc_diagnosis *d, size_t most)
{
    const size_t cut = d->n_others > most ? d->n_others - most : 0;
    const enum fci_place place = doc->place; /* the verdict's */

    fci_doc_for(doc, most > 0 ? FCI_IN_ALL : FCI_IN_DEPTH);
    fci_doc_place(doc, place);
    if (d->n_others > 0)
        fci_doc_say(doc, "Or:");
    fci_doc_for(doc, FCI_IN_BRIEF);
    for (size_t i = 0; i < d->n_others && i < most; i++)
        fci_doc_item(doc, "%s", fci_screen_short(doc, d->others[i], most));
    fci_doc_for(doc, FCI_IN_DEPTH);
    fci_doc_place(doc, place);
    for (size_t i = 0; i < d->n_others; i++)
        fci_doc_item(doc, "%s", d->others[i]);
    fci_doc_for(doc, FCI_IN_BRIEF);
    count_others(doc, d, d->less_likely + cut);
    fci_doc_for(doc, FCI_IN_DEPTH);
    fci_doc_place(doc, place);
    count_others(doc, d, d->less_likely);
    fci_doc_for(doc, FCI_IN_ALL);
}

/* What was seen to be amiss, where the verdict does not say so itself. */
static void
say_seen(struct fci_doc *doc, const fc_diagnosis *d)
{
    for (size_t i = 0; i < d->n_findings && !d->decided; i++)
        if (d->findings[i].code == FC_FOUND_SEEN)
            fci_doc_say(doc, "Seen: %s.", d->findings[i].text);
}

/* Of what was found. */
static void
say_chance(struct fci_doc *doc, const fc_diagnosis *d)
{
    double chance = 0;

    for (size_t i = 0; i < d->n_causes; i++)
        chance += d->causes[i].found ? d->causes[i].weight : 0;
    if (chance > 0.99)
        fci_doc_say(doc, "Chance: over 99%% of all causes tried.");
    else
        fci_doc_say(doc, "Chance: %.0f%% of all causes tried.", 100 * chance);
}

void
fci_diagnose_verdict(struct fci_doc *doc, const fc_diagnosis *d, size_t most)
{
    say_word(doc, d, most);
    if (d->decided)
        say_chance(doc, d);
    say_others(doc, d, most);
    if (d->verdict == FC_CHECKS_OUT_SHORT)
        fci_doc_say(doc, "Piping and supply are as entered: no fault, but too "
                         "little.");
    say_seen(doc, d);
}

/* ---- Findings ---------------------------------------------------------- */

/* They come before warnings and notes. */
static size_t
count_contradictions(const fc_diagnosis *d)
{
    size_t n = 0;

    while (n < d->n_findings && d->findings[n].severity == FC_FAIL)
        n++;
    return n;
}

static void
say_contradictions(struct fci_doc *doc, const fc_diagnosis *d, size_t most)
{
    const size_t n = count_contradictions(d), room = most > 0 ? most : 1;

    if (n == 0)
        return;
    fci_doc_heading(doc, "%s%s",
                    d->verdict == FC_READINGS_DISAGREE
                        ? "Which, and by how much"
                        : "These readings don't agree with each other",
                    d->decided ? "; this explains why" : "");
    fci_doc_for(doc, FCI_IN_BRIEF);
    for (size_t i = 0; i < n && i < room; i++)
        fci_doc_item(doc, "%s",
                     fci_screen_short(doc, d->findings[i].text, most));
    fci_screen_rest(doc, n, room);
    fci_doc_for(doc, FCI_IN_DEPTH);
    for (size_t i = 0; i < n; i++)
        fci_doc_item(doc, "%s", d->findings[i].text);
    fci_doc_for(doc, FCI_IN_ALL);
}

#define MOST_NOTES 3 /* on one screen */

/* Of one screen: what the verdict does not say itself, and where it calls
 * nothing a fault also what it would not. */
static bool
is_in_brief(const fc_diagnosis *d, const fc_finding *f)
{
    const bool sound =
        d->verdict == FC_CHECKS_OUT || d->verdict == FC_CHECKS_OUT_SHORT;

    return f->severity == FC_WARN
               ? f->code != FC_FOUND_SEEN && f->code != FC_FOUND_TOO_LITTLE
               : f->code == FC_FOUND_READINGS || sound;
}

/* On a screen that is full the first stands for all. */
static void
say_in_brief(struct fci_doc *doc, const fc_diagnosis *d, size_t most)
{
    const size_t room = most < MOST_NOTES ? most : MOST_NOTES;
    const char *first = NULL;
    size_t n = 0;

    fci_doc_for(doc, FCI_IN_BRIEF);
    for (size_t i = count_contradictions(d); i < d->n_findings; i++) {
        const fc_finding *f = &d->findings[i];
        const char *text = fci_arena_printf(&doc->arena, "%s%s%s", f->subject,
                                            *f->subject ? ": " : "", f->text);

        if (!is_in_brief(d, f) || !text)
            continue;
        if (n == 0 && room > 0)
            fci_doc_heading(doc, "Notes");
        if (n < room)
            fci_doc_item(doc, "%s", text);
        first = n++ > 0 ? first : text;
    }
    if (room > 0)
        fci_screen_rest(doc, n, room);
    else if (n > 0)
        fci_doc_say(doc, "Note, 1 of %zu (see --full): %s", n, first);
    fci_doc_for(doc, FCI_IN_ALL);
}

static void
say_notes(struct fci_doc *doc, const fc_diagnosis *d)
{
    const size_t n = count_contradictions(d);
    struct fci_found found = { NULL, d->n_findings - n, d->state };

    if (found.n == 0)
        return;
    found.findings = d->findings + n;
    fci_doc_for(doc, FCI_IN_DEPTH);
    fci_part_findings(doc, &found, NULL);
    fci_doc_for(doc, FCI_IN_ALL);
}

/* ---- The whole -------------------------------------------------------- */

#define VISIT_LINES 8

static void
say_first_visit(struct fci_doc *doc, const fc_diagnosis *d, size_t most)
{
    if (d->n_first_visit == 0)
        return;
    fci_doc_heading(doc, "The first visit, with what the file gives");
    fci_screen_numbered(doc, d->first_visit, d->n_first_visit,
                        VISIT_LINES + most);
    fci_doc_say(doc, "Take it along as a sheet to fill in: --sheet.");
}

static void
say_method(struct fci_doc *doc, const fc_diagnosis *d)
{
    fci_doc_gap(doc);
    fci_doc_say(
        doc,
        "flushcalc %s; readings taken %s; method: flushcalc(1). Not tried: "
        "pipes missing from the file, three faults at once, and what "
        "comes and goes.",
        fc_version(),
        d->state == FC_RETROFIT ? "after retrofit"
                                : "with the existing valves");
}

static void
compose(struct fci_doc *doc, const void *what, size_t most)
{
    const struct fci_diagnosis_view *view = what;
    const fc_diagnosis *d = view->d;

    fci_part_title(doc, d->title);
    fci_diagnose_verdict(doc, d, most);
    doc->judged = false; /* what to do next stays with it, on a page too */
    fci_part_overrides(doc, d->overrides, d->n_overrides);
    say_contradictions(doc, d, most);
    say_first_visit(doc, d, most);
    if (d->decided)
        fci_diagnose_work(doc, d, most);
    fci_diagnose_next(doc, d, view->free_gauge, true, most);
    if (!d->decided)
        fci_diagnose_work(doc, d, most);
    doc->judged = true;
    fci_diagnose_readings(doc, d, most);
    fci_diagnose_learned(doc, d, most);
    fci_diagnose_by_hand(doc, d, most);
    say_in_brief(doc, d, most);
    fci_diagnose_causes(doc, d);
    say_notes(doc, d);
    fci_doc_for(doc, FCI_IN_DEPTH);
    fci_part_assumptions(doc, d->assumptions, d->n_assumptions);
    if (d->n_readings > 0)
        say_method(doc, d);
    fci_part_cautions(doc);
    fci_part_close(doc, d->n_assumptions);
}

void
fci_diagnosis_compose(struct fci_doc *doc, const void *view)
{
    fci_screen_fit(doc, FCI_SCREEN_MOST, compose, view);
}
