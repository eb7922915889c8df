/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/units/scan_figure.c -- one figure as it is written: "12 ft 6 in",
 * "DN32". */
#include "units/scan_figure.h"
#include "ground/characters.h"
#include "ground/synonyms.h"
#include "units/number.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

bool
fci_at_range(const char *p)
{
    return p[0] == '.' && p[1] == '.';
}

size_t
fci_range_mark(const char *p)
{
    static const char *const marks[] = { "\xE2\x80\xA6", "\xE2\x80\x93",
                                         "\xE2\x80\x94" };
    const char *next;
    size_t i;

    if (fci_at_range(p))
        return 2;
    for (i = 0; i < sizeof marks / sizeof *marks; i++)
        if (fci_match(p, marks[i]))
            return strlen(marks[i]);
    if (fci_match(p, "to") && !fci_is_letter(p[2]))
        return 2;
    if (*p != '-')
        return 0;
    next = fci_skip_blanks(p + 1);
    return fci_is_digit(*next) || (*next == '.' && fci_is_digit(next[1]))
           || (unsigned char)*next > 0x7f;
}

const char *
fci_word_end(const char *p)
{
    while (*p && !fci_blank(p) && !fci_at_range(p) && *p != '(' && *p != ')')
        p++;
    return p;
}

const char *
fci_figure_end(const struct fci_wanted *wanted, const char *p)
{
    p = fci_word_end(p);
    while (!wanted->leading && fci_blank(p))
        p = fci_word_end(fci_skip_blanks(p));
    return p;
}

/* "12 ft" has been read; the "6 in" of "12 ft 6 in", "12'-6\"". */
static bool
scan_inches(const struct fci_wanted *wanted, struct fci_figure *f)
{
    const char *p = fci_skip_blanks(f->end), *end;
    double inches;

    if (*p == '-')
        p = fci_skip_blanks(p + 1);
    if (fci_scan_magnitude(&p, &inches)
        || fci_unit_at(fci_skip_blanks(p), &end) != &fci_units[FCI_IN])
        return true; /* something else follows */
    if (f->number != floor(f->number) || !(inches < 12.0))
        return fci_refuse_for(
            wanted, f->start, end,
            "is not a length in feet and inches; whole feet and less than 12 "
            "in are needed, such as 12 ft 6 in");
    f->inches = inches;
    f->end = end;
    return true;
}

static bool
scan_dn(const struct fci_wanted *wanted, struct fci_figure *f,
        const char *digits)
{
    const char *end = fci_skip_digits(digits);
    const long dn = end - digits < 6 ? strtol(digits, NULL, 10) : 0;
    size_t i;

    f->end = fci_word_end(digits);
    f->unit = &fci_units[FCI_DN];
    for (i = 0; i < FCI_DN_SIZES; i++)
        if (fci_dn_sizes[i].dn == dn && end == f->end) {
            f->number = fci_dn_sizes[i].inches;
            return true;
        }
    return fci_refuse_dn(wanted, f->start, f->end);
}

/* ",000": with a point in place of the comma it would be another number. */
static bool
are_thousands(const char *p)
{
    return *p == ',' && fci_is_digit(p[1]) && fci_is_digit(p[2])
           && fci_is_digit(p[3]) && !fci_is_digit(p[4]);
}

/* What stands at p, behind the number, is no unit: whether it may be there. */
static bool
may_follow_number(const struct fci_wanted *wanted, const struct fci_figure *f,
                  const char *p)
{
    const char *word = fci_skip_blanks(p);

    if (are_thousands(p))
        return fci_refuse_for(wanted, f->start, fci_figure_end(wanted, p),
                              "has a comma in its number; thousands need "
                              "none, as in 150000, and parts a point, as in "
                              "12.5");
    if (*p == ',' && fci_is_digit(p[1]))
        return fci_refuse_for(wanted, f->start, fci_figure_end(wanted, p),
                              "has a comma in its number; a point is needed, "
                              "as in 12.5");
    if (*word == '-' && (wanted->leading || !fci_range_mark(word)))
        return fci_refuse_for(wanted, f->start, fci_figure_end(wanted, word),
                              "has a - after its number; a range is written "
                              "with two points, as in 40..60");
    if (*word == '\0' || *word == '(' || *word == ')'
        || (!wanted->leading && fci_range_mark(word) > 0) || fci_at_range(word)
        || (wanted->leading && wanted->dimension == FC_NUMBER))
        return true;
    return fci_refuse_unit(wanted, f->start, fci_word_end(word));
}

/* "about 50 ft", "?": to write it as one figure would make it exact. */
static bool
refuse_inexact(const struct fci_wanted *wanted, const char *start,
               const struct fci_synonym *inexact)
{
    const bool guess = strcmp(inexact->means, "about") == 0;

    if (!wanted->range)
        return fci_refuse(wanted, start, fci_figure_end(wanted, start),
                          guess ? "is a guess" : "is no figure");
    return fci_refuse_for(wanted, start, fci_figure_end(wanted, start),
                          guess ? "is a guess; write a range that it lies in, "
                                  "as in 40..60"
                                : "is no figure; write a range that it lies "
                                  "in, as in 40..60, or leave the key out");
}

static const struct fci_synonym *
inexact_at(const char *p)
{
    const struct fci_synonym *synonym;
    size_t n;

    synonym = fci_synonym_at("inexact", p, SIZE_MAX, &n);
    return synonym && fci_is_letter(p[n - 1]) && fci_is_letter(p[n]) ? NULL
                                                                     : synonym;
}

/* "inch and a quarter": a size in words, up to what parts a range. */
static bool
scan_said(const struct fci_wanted *wanted, struct fci_figure *f)
{
    char words[FCI_PLAIN_WORDS];
    const char *end = f->start, *start = f->start;
    struct fci_meanings meanings;

    if (wanted->dimension != FC_SIZE && wanted->dimension != FC_LENGTH)
        return false;
    while (*end && *end != '('
           && !(end > start
                && (fci_at_range(end)
                    || (end[-1] == ' ' && fci_range_mark(end) > 0)
                    || (unsigned char)*end > 0x7f)))
        end++;
    if ((size_t)(end - start) >= sizeof words)
        return false;
    memcpy(words, start, (size_t)(end - start));
    words[end - start] = '\0';
    meanings = fci_meanings("sizes", words);
    if (meanings.n != 1 || !fci_scan_figure(wanted, meanings.at->means, f))
        return false;
    f->start = start;
    f->end = end;
    return true;
}

bool
fci_scan_figure(const struct fci_wanted *wanted, const char *start,
                struct fci_figure *f)
{
    const struct fci_synonym *inexact = inexact_at(start);
    const char *p = start, *wrong;
    bool negative, inches;

    *f = (struct fci_figure){ .start = start };
    if (inexact)
        return refuse_inexact(wanted, start, inexact);
    if (fci_is_letter(*start) && scan_said(wanted, f))
        return true;
    *f = (struct fci_figure){ .start = start };
    inches = fci_match(p, "NPS") > 0 && wanted->dimension == FC_SIZE;
    if (inches)
        p = fci_skip_blanks(p + 3);
    if (fci_match(p, "DN") && fci_is_digit(*fci_skip_blanks(p + 2)))
        return scan_dn(wanted, f, fci_skip_blanks(p + 2));
    negative = fci_scan_sign(&p);
    wrong = fci_scan_magnitude(&p, &f->number);
    if (wrong)
        return fci_refuse(wanted, start, fci_figure_end(wanted, p), wrong);
    f->end = p;
    f->unit = fci_unit_at(fci_skip_blanks(p), &f->end);
    if (!f->unit && !may_follow_number(wanted, f, p))
        return false;
    if (!f->unit && inches)
        f->unit = &fci_units[FCI_IN];
    if (f->unit == &fci_units[FCI_FT] && !scan_inches(wanted, f))
        return false;
    if (negative) { /* -3 ft 6 in is below -3 ft */
        f->number = -f->number;
        f->inches = -f->inches;
    }
    return true;
}

static bool
refuse_unit(const struct fci_wanted *wanted, const struct fci_figure *f)
{
    char wrong[64];

    snprintf(wrong, sizeof wrong, "is %s",
             f->unit == &fci_units[FCI_PERCENT]
                 ? "a percentage"
                 : fci_dimension_name(f->unit->dimension));
    return fci_refuse(wanted, f->start, f->end, wrong);
}

bool
fci_judge_figure(const struct fci_wanted *wanted, struct fci_figure *f)
{
    const struct fci_unit *unit = f->unit;

    if (!unit && wanted->dimension != FC_NUMBER)
        return fci_refuse(wanted, f->start, f->end, "has no unit");
    if (!unit)
        unit = &fci_units[FCI_NO_UNIT];
    if (!fci_unit_fits(unit, wanted->dimension))
        return refuse_unit(wanted, f);
    f->si = f->inches != 0.0
                ? fci_to_si(&fci_units[FCI_IN], f->number * 12.0 + f->inches)
                : fci_to_si(unit, f->number);
    if (!isfinite(f->si))
        return fci_refuse(wanted, f->start, f->end, "is too large");
    if (wanted->dimension == FC_SIZE && !(f->si > 0.0))
        return fci_refuse(wanted, f->start, f->end, "is not above zero");
    return true;
}
