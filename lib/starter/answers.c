/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/starter/answers.c -- the answers read, each by its row, and together. */
#include "ground/diagnostics.h"
#include "ground/plain_print.h"
#include "ground/names.h"
#include "ground/synonyms.h"
#include "ini/field_type.h"
#include "ini/ini_text.h"
#include "starter/reading.h"
#include "units/units.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MOST_FIXTURES 999

/* ---- What is wrong ----------------------------------------------------- */

static void
note(struct fci_answer_reading *r, fc_status status)
{
    if (status != FC_OK && r->worst != FC_ENOMEM)
        r->worst = status;
}

void
fci_answer_wrong(struct fci_answer_reading *r, enum fci_answer key,
                 const char *format, ...)
{
    char what[1024];
    va_list args;

    va_start(args, format);
    fci_vprint(what, sizeof what, format, args);
    va_end(args);
    note(r, fci_fail(r->messages, FC_EINPUT, NULL, 0, "%s %s",
                     fci_answer_fields[key].key, what));
}

/* ---- One answer -------------------------------------------------------- */

/* "toilets", "wc", "lavs": FCI_ANSWERS: none. */
static enum fci_answer
fixtures_of(const char *word)
{
    static const struct {
        const char *kind;
        enum fci_answer answer;
    } kinds[] = {
        { "water closet, flush valve", FCI_ASK_CLOSETS },
        { "urinal, flush valve", FCI_ASK_URINALS },
        { "lavatory", FCI_ASK_LAVATORIES },
    };
    const size_t length = strlen(word);
    char one[64];

    snprintf(one, sizeof one, "%s", word);
    if (length > 0 && length < sizeof one && one[length - 1] == 's')
        one[length - 1] = '\0';
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        if (fci_means("fixtures", word, kinds[i].kind)
            || fci_means("fixtures", one, kinds[i].kind))
            return kinds[i].answer;
    return FCI_ANSWERS;
}

/* Which answer `given` is, whose value begins at its "="; case, blanks and "_"
 * for "-" do not matter.  FCI_ANSWERS, and said: none. */
static enum fci_answer
answer_of(struct fci_answer_reading *r, const char *given, const char *value)
{
    const int length = value ? (int)(value - given) : 0;
    struct fci_nearest nearest;
    char word[64], known[512] = "";
    size_t i, used = 0;

    if (!value) {
        note(r, fci_fail(r->messages, FC_EINPUT, NULL, 0,
                         "\"%.60s\" has no value; KEY=VALUE is expected, "
                         "such as stories=8",
                         given));
        return FCI_ANSWERS;
    }
    snprintf(word, sizeof word, "%.*s", length, given);
    for (i = 0; word[i]; i++)
        if (word[i] == ' ' || word[i] == '_')
            word[i] = '-';
    nearest = fci_nearest_to(word);
    for (i = 0; i < FCI_ANSWERS; i++) {
        if (fci_same_name(word, fci_answer_fields[i].key))
            return (enum fci_answer)i;
        fci_nearest_try(&nearest, fci_answer_fields[i].key);
        if (used < sizeof known)
            used +=
                (size_t)snprintf(known + used, sizeof known - used, "%s%s",
                                 i == 0 ? "" : ", ", fci_answer_fields[i].key);
    }
    if (fixtures_of(word) != FCI_ANSWERS)
        return fixtures_of(word);
    if (fci_nearest_word(&nearest))
        note(r, fci_fail(r->messages, FC_EINPUT, NULL, 0,
                         "there is no key \"%s\"; did you mean \"%s\"?", word,
                         fci_nearest_word(&nearest)));
    else
        note(r,
             fci_fail(r->messages, FC_EINPUT, NULL, 0,
                      "there is no key \"%s\"; the keys are %s", word, known));
    return FCI_ANSWERS;
}

/* The value as one line of plain text in the arena; NULL, and said. */
static const char *
plain_value(struct fci_answer_reading *r, enum fci_answer key,
            const char *value)
{
    const size_t n = strlen(value);
    struct fci_not_text wrong;
    char *plain;

    if (n > FCI_LONGEST_LINE / 2) {
        fci_answer_wrong(r, key, "has %zu characters; at most %u are expected",
                         n, FCI_LONGEST_LINE / 2);
        return NULL;
    }
    plain = fci_arena_alloc(r->arena, n + 1);
    if (!plain) {
        note(r, FC_ENOMEM);
        return NULL;
    }
    if (!fci_plain_line(value, n, plain, &wrong)) {
        fci_answer_wrong(r, key,
                         "has more than one line or a control character, or "
                         "is not text in UTF-8; one line of text is expected");
        return NULL;
    }
    plain = fci_squeezed(plain);
    if (*plain)
        return plain;
    fci_answer_wrong(r, key,
                     "is empty; a value is expected, or leave out what is "
                     "not known");
    return NULL;
}

/* A bare figure is in feet, inches or psi; "12" becomes "12 ft". */
static const char *
with_unit(struct fci_answer_reading *r, const struct fci_field *field,
          const char *value)
{
    if (!value || r->si || field->type != &fci_range_field
        || value[strspn(value, "0123456789./- ")] != '\0')
        return value;
    value = fci_arena_printf(r->arena, "%s %s", value,
                             fc_unit_name(FC_US, field->dimension));
    if (!value)
        note(r, FC_ENOMEM);
    return value;
}

/* "stories=8" */
static void
read_answer(struct fci_answer_reading *r, const char *given)
{
    const char *value = strchr(given, '=');
    const enum fci_answer key = answer_of(r, given, value);
    struct fci_entry entry = { .key = NULL };
    struct fci_section section = {
        .kind = "", .name = "", .entries = &entry, .n_entries = 1
    };
    struct fci_value v = { .field = &fci_answer_fields[key],
                           .messages = r->messages,
                           .where = { "", "", NULL, &section } };

    if (key == FCI_ANSWERS)
        return;
    if (r->a->text[key]) {
        fci_answer_wrong(r, key, "is given twice; once is expected");
        return;
    }
    entry.key = fci_answer_fields[key].key;
    entry.value = r->a->text[key] =
        with_unit(r, v.field, plain_value(r, key, value + 1));
    if (!entry.value)
        return;
    note(r, fci_fields_change(fci_answer_fields, FCI_ANSWERS, &section, NULL,
                              r->arena, r->a, r->messages));
    if (r->worst != FC_ENOMEM && v.field->type->check)
        v.field->type->check(&v, (const char *)r->a);
    note(r, v.status);
}

/* False: it was not answered, or is said to be wrong. */
static bool
read_whole(struct fci_answer_reading *r, enum fci_answer key, int least,
           int most, int *number)
{
    const char *text = r->a->text[key], *end = text;
    double value;

    if (!text)
        return false;
    if (fci_read_number(&end, &value) && !*end && value >= least
        && value <= most && value == floor(value)) {
        *number = (int)value;
        return true;
    }
    fci_answer_wrong(r, key,
                     "\"%.60s\"; a whole number from %d to %d is expected",
                     text, least, most);
    return false;
}

/* Whether an answer is that the units are metric. */
static bool
says_si(const char *given)
{
    const char *value = strchr(given, '=');
    char key[16];

    if (!value || value - given >= (long)sizeof key)
        return false;
    snprintf(key, sizeof key, "%.*s", (int)(value - given), given);
    return fci_same_name(key, "units")
           && fci_means("choices", value + 1, "si");
}

static void
read_fixtures(struct fci_answer_reading *r, enum fci_answer key,
              fc_range *fixtures)
{
    int number;

    if (read_whole(r, key, 0, MOST_FIXTURES, &number))
        *fixtures = fc_exactly(number);
}

static void
read_numbers(struct fci_answer_reading *r)
{
    struct fci_answers *a = r->a;

    a->batteries = 1;
    read_whole(r, FCI_ASK_STORIES, 1, FCI_MOST_STORIES, &a->stories);
    read_whole(r, FCI_ASK_BATTERIES, 1, FCI_MOST_BATTERIES, &a->batteries);
    read_fixtures(r, FCI_ASK_CLOSETS, &a->closets);
    read_fixtures(r, FCI_ASK_URINALS, &a->urinals);
    read_fixtures(r, FCI_ASK_LAVATORIES, &a->lavatories);
}

/* ---- All of them ------------------------------------------------------- */

static void
check_supply(struct fci_answer_reading *r)
{
    static const enum fci_answer supplies[] = { FCI_ASK_MAIN, FCI_ASK_TANK,
                                                FCI_ASK_PRESSURE };
    const struct fci_answers *a = r->a;
    const char *first = NULL;
    size_t i;

    for (i = 0; i < sizeof supplies / sizeof *supplies; i++) {
        if (a->text[supplies[i]] && first)
            fci_answer_wrong(r, supplies[i],
                             "is given with \"%s\"; one supply is expected: "
                             "main, tank or pressure",
                             first);
        else if (a->text[supplies[i]])
            first = fci_answer_fields[supplies[i]].key;
    }
    if (a->text[FCI_ASK_FLOW_TEST] && !a->text[FCI_ASK_MAIN])
        fci_answer_wrong(r, FCI_ASK_FLOW_TEST,
                         "is given without \"main\"; the static pressure of "
                         "the main is expected with it, such as main=60psi");
    if (a->text[FCI_ASK_FIRST_FLOOR] && a->text[FCI_ASK_TANK])
        fci_answer_wrong(r, FCI_ASK_FIRST_FLOOR,
                         "is given with \"tank\", whose level counts from the "
                         "first floor; one of the two is expected");
}

static void
check_fixtures(struct fci_answer_reading *r)
{
    const struct fci_answers *a = r->a;
    int s;

    if (a->closets.given && a->closets.nominal == 0
        && !(a->urinals.nominal > 0))
        fci_answer_wrong(r, FCI_ASK_CLOSETS,
                         "is 0 and no urinal is given; a floor with a flush "
                         "valve is expected");
    for (s = 0; s < 2; s++)
        if (a->urinal[s] && !(a->urinals.nominal > 0))
            fci_answer_wrong(r, s ? FCI_ASK_RETROFIT : FCI_ASK_EXISTING,
                             "names \"%s\", and no urinals are given; how "
                             "many a floor has is expected, such as urinals=2",
                             a->urinal[s]->head.name);
}

fc_status
fci_answers_read(const char *const *given, size_t n, bool whole,
                 const struct fci_tables *tables, struct fci_arena *arena,
                 struct fci_answers *a, fc_diagnostics *messages)
{
    struct fci_answer_reading r = { a, tables, arena, messages, FC_OK, false };
    size_t i;

    for (i = 0; i < n; i++)
        r.si |= says_si(given[i]);
    for (i = 0; i < n && r.worst != FC_ENOMEM; i++)
        read_answer(&r, given[i]);
    if (r.worst == FC_ENOMEM)
        return r.worst;
    read_numbers(&r);
    fci_answers_read_words(&r);
    if (!whole)
        return r.worst;
    if (!a->text[FCI_ASK_STORIES])
        note(&r, fci_fail(messages, FC_EINPUT, NULL, 0,
                          "how many stories the building has is not given; "
                          "it is needed, such as stories=8"));
    check_supply(&r);
    if (r.worst == FC_OK)
        check_fixtures(&r);
    if (r.worst == FC_OK)
        fci_answers_find_runs(&r);
    return r.worst;
}

int
fci_share_of(fc_range fixtures, int batteries, int k)
{
    const int n = (int)fixtures.nominal;

    return n / batteries + (k < n % batteries);
}
