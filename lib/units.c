/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/units.c -- text becomes SI, and SI becomes text again.
 *
 *   [SP811]  A. Thompson, B. N. Taylor, Guide for the Use of the
 *            International System of Units, NIST SP 811, 2008, Appendix B
 *            (from memory): in = 0.0254 m, ft = 0.3048 m, US gal = 231 in3,
 *            US fl oz = gal/128, psi = lbf/in2 with lbf = 0.45359237 kg x
 *            9.80665 m/s2; conventional water: 9806.65 N/m3 for ftH2O, mH2O
 *   [DN]     nominal sizes DN and NPS side by side: ASME B36.10M (from memory)
 */
#include "units.h"
#include "diagnostics.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

/* ---- Tables ------------------------------------------------------------ */

/* SI = (figure + shift) * multiply / divide.  Both factors are whole numbers
 * that a double holds exactly, so that 1-1/4 in and 31.75 mm meet in the same
 * double. */
struct unit {
    const char *name;
    fc_dimension dimension;
    double multiply, divide, shift;
};

#define GALLON 3785411784.0                /* 231 in3, in 1e-12 m3 */
#define PSI 44482216152605.0, 6451600000.0 /* lbf by in2 in 1e-13 N, m2 */

enum {
    IN_PSI,
    IN_KPA,
    IN_GPM,
    IN_LPS,
    IN_FT,
    IN_M,
    IN_IN,
    IN_MM,
    IN_FPS,
    IN_MPS,
    IN_GAL,
    IN_L,
    IN_S,
    IN_DEGF,
    IN_DEGC,
    IN_PERCENT,
    IN_NOTHING
};

/* The units of a dimension stand in the order in which a message lists
 * them. */
static const struct unit units[] = {
    [IN_PSI] = { "psi", FC_PRESSURE, PSI, 0.0 },
    [IN_KPA] = { "kPa", FC_PRESSURE, 1000.0, 1.0, 0.0 },
    [IN_GPM] = { "gpm", FC_FLOW, GALLON, 60e12, 0.0 },
    [IN_LPS] = { "L/s", FC_FLOW, 1.0, 1000.0, 0.0 },
    [IN_FT] = { "ft", FC_LENGTH, 3048.0, 10000.0, 0.0 },
    [IN_M] = { "m", FC_LENGTH, 1.0, 1.0, 0.0 },
    [IN_IN] = { "in", FC_LENGTH, 254.0, 10000.0, 0.0 },
    [IN_MM] = { "mm", FC_LENGTH, 1.0, 1000.0, 0.0 },
    [IN_FPS] = { "ft/s", FC_VELOCITY, 3048.0, 10000.0, 0.0 },
    [IN_MPS] = { "m/s", FC_VELOCITY, 1.0, 1.0, 0.0 },
    [IN_GAL] = { "gal", FC_VOLUME, GALLON, 1e12, 0.0 },
    [IN_L] = { "L", FC_VOLUME, 1.0, 1000.0, 0.0 },
    [IN_S] = { "s", FC_TIME, 1.0, 1.0, 0.0 },
    [IN_DEGF] = { "degF", FC_TEMPERATURE, 5.0, 9.0, -32.0 },
    [IN_DEGC] = { "degC", FC_TEMPERATURE, 1.0, 1.0, 0.0 },
    [IN_PERCENT] = { "%", FC_NUMBER, 1.0, 100.0, 0.0 },
    [IN_NOTHING] = { "", FC_NUMBER, 1.0, 1.0, 0.0 },
    { "bar", FC_PRESSURE, 100000.0, 1.0, 0.0 },
    { "ftH2O", FC_PRESSURE, 298906692.0, 100000.0, 0.0 },
    { "mH2O", FC_PRESSURE, 980665.0, 100.0, 0.0 },
    { "L/min", FC_FLOW, 1.0, 60000.0, 0.0 },
    { "m3/h", FC_FLOW, 1.0, 3600.0, 0.0 },
    { "oz", FC_VOLUME, GALLON, 128e12, 0.0 },
    { "min", FC_TIME, 60.0, 1.0, 0.0 },
    { "h", FC_TIME, 3600.0, 1.0, 0.0 },
};

/* A nominal size in inches or as DN; both name the same pipe. */
static const struct unit dn_size = { "DN", FC_SIZE, 254.0, 10000.0, 0.0 };
static const struct {
    int dn;
    double inches;
} dn_sizes[] = { { 8, 0.25 },  { 10, 0.375 }, { 15, 0.5 }, { 20, 0.75 },
                 { 25, 1.0 },  { 32, 1.25 },  { 40, 1.5 }, { 50, 2.0 },
                 { 65, 2.5 },  { 80, 3.0 },   { 90, 3.5 }, { 100, 4.0 },
                 { 125, 5.0 }, { 150, 6.0 },  { 200, 8.0 } };

static const struct {
    const char *text;
    int unit;
} marks[] = {
    { "'", IN_FT },
    { "\"", IN_IN },
    { "\xE2\x80\xB2", IN_FT },
    { "\xE2\x80\xB3", IN_IN }, /* primes */
    { "\xE2\x80\x99", IN_FT },
    { "\xE2\x80\x9D", IN_IN }, /* quotes */
};

/* What a dimension is called, and how it is printed in either system. */
struct dimension {
    const char *name, *examples;
    int us, si;                   /* units */
    int us_decimals, si_decimals; /* FREE: see number_text() */
    bool trim;                    /* without zeros at the end */
};

#define FREE (-1)

static const struct dimension dimensions[] = {
    [FC_NUMBER] = { "a number", "100 or 50 %", IN_NOTHING, IN_NOTHING, FREE,
                    FREE, false },
    [FC_PRESSURE] = { "a pressure", "62 psi or 4.3 bar", IN_PSI, IN_KPA, 1, 0,
                      false },
    [FC_FLOW] = { "a flow", "25 gpm or 1.6 L/s", IN_GPM, IN_LPS, 1, 2, false },
    [FC_LENGTH] = { "a length", "12 ft or 3.5 m", IN_FT, IN_M, 1, 2, false },
    [FC_SIZE] = { "a nominal size", "1-1/4 in or DN32", IN_IN, IN_MM, 3, 1,
                  false },
    [FC_VELOCITY] = { "a velocity", "8 ft/s or 2.4 m/s", IN_FPS, IN_MPS, 1, 2,
                      false },
    [FC_VOLUME] = { "a volume", "1.6 gal or 6 L", IN_GAL, IN_L, 3, 2, true },
    [FC_TIME] = { "a time", "4 s or 5 min", IN_S, IN_S, 1, 1, false },
    [FC_TEMPERATURE] = { "a temperature", "60 degF or 15 degC", IN_DEGF,
                         IN_DEGC, 0, 1, false },
};

/* NULL for what is no fc_dimension. */
static const struct dimension *
dimension_of(fc_dimension dimension)
{
    return (size_t)dimension < COUNT(dimensions) ? &dimensions[dimension]
                                                 : NULL;
}

static const struct unit *
printed_unit(fc_unit_system system, fc_dimension dimension)
{
    const struct dimension *d = dimension_of(dimension);

    if (!d)
        return &units[IN_NOTHING];
    return &units[system == FC_SI ? d->si : d->us];
}

static int
printed_decimals(fc_unit_system system, fc_dimension dimension)
{
    const struct dimension *d = dimension_of(dimension);

    if (!d)
        return FREE;
    return system == FC_SI ? d->si_decimals : d->us_decimals;
}

static bool
fits(const struct unit *unit, fc_dimension dimension)
{
    return unit->dimension == dimension
           || (dimension == FC_SIZE
               && (unit == &units[IN_IN] || unit == &units[IN_MM]));
}

static double
to_si(const struct unit *unit, double figure)
{
    return (figure + unit->shift) * unit->multiply / unit->divide;
}

/* ---- Characters -------------------------------------------------------- */

/* The classes of <ctype.h> depend on the locale; these do not. */
static bool
is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static char
lower(char c)
{
    return (char)(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
}

static bool
is_letter(char c)
{
    return lower(c) >= 'a' && lower(c) <= 'z';
}

static const char *
skip_digits(const char *p)
{
    while (is_digit(*p))
        p++;
    return p;
}

/* Length of the blank at p; 0: none.  A no-break space comes with copying. */
static size_t
blank(const char *p)
{
    if (*p == ' ' || *p == '\t')
        return 1;
    return strncmp(p, "\xC2\xA0", 2) == 0 ? 2 : 0;
}

static const char *
skip_blanks(const char *p)
{
    size_t n;

    while ((n = blank(p)) > 0)
        p += n;
    return p;
}

static bool
at_range(const char *p)
{
    return p[0] == '.' && p[1] == '.';
}

/* The length of a match of `word` at p without regard to case, or 0. */
static size_t
match(const char *p, const char *word)
{
    size_t n = 0;

    for (; word[n]; n++)
        if (lower(p[n]) != lower(word[n]))
            return 0;
    return n;
}

/* Behind the word at p. */
static const char *
word_end(const char *p)
{
    while (*p && !blank(p) && !at_range(p) && *p != '(' && *p != ')')
        p++;
    return p;
}

/* ---- Numbers ----------------------------------------------------------- */

#define LONGEST_NUMBER 100

/* What the locale has for a decimal point.  localeconv() would say, but is
 * not safe among threads. */
struct radix {
    char text[16];
    size_t length;
};

static struct radix
locale_radix(void)
{
    struct radix radix = { ".", 1 };
    char half[32];
    int n = snprintf(half, sizeof half, "%.1f", 0.5);

    if (n >= 3 && (size_t)n - 2 < sizeof radix.text) {
        radix.length = (size_t)n - 2; /* between 0 and 5 */
        memcpy(radix.text, half + 1, radix.length);
        radix.text[radix.length] = '\0';
    }
    return radix;
}

/* Behind "12", "12.5", ".5", "1.2e3"; p itself when there is no number.  A
 * point is followed by a digit, so that "40..60" is two numbers. */
static const char *
decimal_end(const char *p)
{
    const char *start = p, *exponent;

    p = skip_digits(p);
    if (*p == '.' && is_digit(p[1]))
        p = skip_digits(p + 1);
    if (p == start || lower(*p) != 'e')
        return p;
    exponent = p + 1;
    if (*exponent == '-' || *exponent == '+')
        exponent++;
    return is_digit(*exponent) ? skip_digits(exponent) : p;
}

/* strtod() on what is known to be a number, with the locale's own point. */
static double
to_double(const char *start, size_t length)
{
    const struct radix radix = locale_radix();
    char token[LONGEST_NUMBER + sizeof radix.text];
    const char *point = memchr(start, '.', length);
    size_t n = point ? (size_t)(point - start) : length;

    memcpy(token, start, n);
    if (point) {
        memcpy(token + n, radix.text, radix.length);
        memcpy(token + n + radix.length, point + 1, length - n - 1);
        length += radix.length - 1;
    }
    token[length] = '\0';
    return strtod(token, NULL);
}

/* The "3/4" at p added to *value; what is wrong, or NULL. */
static const char *
add_fraction(const char **text, bool mixed, double *value)
{
    const char *above = *text, *slash = skip_digits(above);
    const char *below = slash + 1, *end = skip_digits(below);
    double n, d;

    if (end - above > LONGEST_NUMBER)
        return "has too long a number";
    n = to_double(above, (size_t)(slash - above));
    d = to_double(below, (size_t)(end - below));
    if (!(d > 0.0))
        return "divides by zero";
    if (mixed && !(n < d))
        return "has a fraction of 1 or more beside a whole number";
    *value += n / d;
    *text = end;
    return NULL;
}

static bool
at_fraction(const char *p)
{
    const char *slash = skip_digits(p);

    return slash > p && *slash == '/' && is_digit(slash[1]);
}

/* A number without sign.  NULL when read, or what is wrong. */
static const char *
scan_magnitude(const char **text, double *value)
{
    const char *p = *text, *end = decimal_end(p), *part = end;
    const char *wrong = NULL;

    if (end == p)
        return "does not start with a number";
    if (end - p > LONGEST_NUMBER)
        return "has too long a number";
    *value = 0.0;
    if (at_fraction(p)) {
        wrong = add_fraction(&p, false, value);
        end = p;
    } else {
        *value = to_double(p, (size_t)(end - p));
        part = *end == '-' ? end + 1 : skip_blanks(end);
        if (end == skip_digits(p) && part > end && at_fraction(part)) {
            wrong = add_fraction(&part, true, value);
            end = part;
        }
    }
    if (!wrong && !isfinite(*value))
        wrong = "is too large";
    if (!wrong)
        *text = end;
    return wrong;
}

static bool
scan_sign(const char **text)
{
    const bool negative = **text == '-';

    if (negative || **text == '+')
        ++*text;
    return negative;
}

bool
fci_read_number(const char **text, double *value)
{
    const char *p = *text;
    const bool negative = scan_sign(&p);
    double magnitude;

    if (scan_magnitude(&p, &magnitude))
        return false;
    *value = negative && magnitude > 0.0 ? -magnitude : magnitude;
    *text = p;
    return true;
}

/* ---- Reasons ----------------------------------------------------------- */

struct reader {
    const char *at;
    fc_dimension dimension;
    bool range, leading, bracketed;
    const char *also; /* what else would do, for messages */
    struct fci_reason *why;
};

/* Behind what a message repeats of a figure that stops making sense at p:
 * the rest of the figure, as far as can be told. */
static const char *
figure_end(const struct reader *r, const char *p)
{
    p = word_end(p);
    while (!r->leading && blank(p))
        p = word_end(skip_blanks(p));
    return p;
}

#define QUOTE_ROOM 44 /* bytes of the text that a message repeats */

struct quote {
    char text[QUOTE_ROOM + 8];
};

/* Bytes of the UTF-8 character at p, 0 when it is none or not for print. */
static size_t
printable(const char *p, const char *end)
{
    const unsigned char c = (unsigned char)*p;
    size_t i, n = 1;

    if (c >= 0x80)
        n = c < 0xC2 || c > 0xF4 ? 0 : c < 0xE0 ? 2 : c < 0xF0 ? 3 : 4;
    if (c < 0x20 || c == 0x7F || n > (size_t)(end - p))
        return 0;
    for (i = 1; i < n; i++)
        if ((p[i] & 0xC0) != 0x80)
            return 0;
    return n;
}

/* Some of the user's text in quotation marks. */
static struct quote
quoted(const char *p, const char *end)
{
    struct quote q;
    size_t used = 0, n;

    while (end > p && (end[-1] == ' ' || end[-1] == '\t'))
        end--;
    q.text[used++] = '"';
    for (; p < end; p += n ? n : 1) {
        n = printable(p, end);
        if (used + (n ? n : 1) > QUOTE_ROOM)
            break;
        if (n)
            memcpy(q.text + used, p, n);
        else
            q.text[used] = '?';
        used += n ? n : 1;
    }
    snprintf(q.text + used, sizeof q.text - used, "%s\"",
             p < end ? "..." : "");
    return q;
}

static bool
refuse(const struct reader *r, const char *from, const char *to,
       const char *wrong)
{
    const struct dimension *d = dimension_of(r->dimension);
    const struct quote what = quoted(from, to);

    if (r->why)
        snprintf(r->why->text, sizeof r->why->text,
                 "%s %s; %s is needed, such as %s%s",
                 from < to ? what.text : "a figure",
                 from < to ? wrong : "is missing", d->name, d->examples,
                 r->also);
    return false;
}

/* Other advice than the usual one. */
static bool
refuse_for(const struct reader *r, const char *from, const char *to,
           const char *wrong_and_expected)
{
    if (r->why)
        snprintf(r->why->text, sizeof r->why->text, "%s %s",
                 quoted(from, to).text, wrong_and_expected);
    return false;
}

static bool
refuse_unit(const struct reader *r, const char *from, const char *to)
{
    char known[80] = "";
    size_t i, used = 0;

    if (r->dimension == FC_NUMBER)
        used = (size_t)snprintf(known, sizeof known, "no unit");
    for (i = 0; i < COUNT(units); i++)
        if (fits(&units[i], r->dimension) && units[i].name[0]
            && used < sizeof known)
            used += (size_t)snprintf(known + used, sizeof known - used, "%s%s",
                                     used ? ", " : "", units[i].name);
    if (r->why)
        snprintf(r->why->text, sizeof r->why->text,
                 "the unit of %s is not known; %s is needed, in one of: "
                 "%s%s%s",
                 quoted(from, to).text, dimension_of(r->dimension)->name,
                 known, r->dimension == FC_SIZE ? ", DN" : "", r->also);
    return false;
}

static bool
refuse_dn(const struct reader *r, const char *from, const char *to)
{
    char known[96] = "";
    size_t i, used = 0;

    for (i = 0; i < COUNT(dn_sizes) && used < sizeof known; i++)
        used += (size_t)snprintf(known + used, sizeof known - used, "%s%d",
                                 i ? ", " : "", dn_sizes[i].dn);
    if (r->why)
        snprintf(r->why->text, sizeof r->why->text,
                 "%s is no DN that is known; one of these is needed: %s",
                 quoted(from, to).text, known);
    return false;
}

/* ---- Figures ----------------------------------------------------------- */

struct figure {
    const char *start, *end;
    const struct unit *unit; /* NULL: a bare number */
    double number, inches;   /* inches: the "6 in" of "12 ft 6 in" */
    double si;               /* set by judge() */
    fc_range second;         /* what stands in brackets behind it */
};

/* The unit at p, or NULL; *end is set behind it. */
static const struct unit *
scan_unit(const char *p, const char **end)
{
    const struct unit *found = NULL;
    size_t i, n, longest = 0;

    for (i = 0; i < COUNT(marks); i++)
        if ((n = match(p, marks[i].text)) > 0) {
            *end = p + n;
            return &units[marks[i].unit];
        }
    for (i = 0; i < COUNT(units); i++)
        if ((n = match(p, units[i].name)) > longest) {
            longest = n;
            found = &units[i];
        }
    p += longest;
    /* "12ft6in" is the one place where a digit follows a unit. */
    if (!found || is_letter(*p) || *p == '/'
        || (is_digit(*p) && found != &units[IN_FT]))
        return NULL;
    *end = p;
    return found;
}

/* "12 ft" has been read; the "6 in" of "12 ft 6 in", "12'-6\"". */
static bool
scan_inches(const struct reader *r, struct figure *f)
{
    const char *p = skip_blanks(f->end), *end;
    double inches;

    if (*p == '-')
        p = skip_blanks(p + 1);
    if (scan_magnitude(&p, &inches)
        || scan_unit(skip_blanks(p), &end) != &units[IN_IN])
        return true; /* something else follows */
    if (f->number != floor(f->number) || !(inches < 12.0))
        return refuse_for(r, f->start, end,
                          "is no length in feet and inches; whole feet and "
                          "less than 12 in are needed, such as 12 ft 6 in");
    f->inches = inches;
    f->end = end;
    return true;
}

static bool
scan_dn(struct reader *r, struct figure *f, const char *digits)
{
    const char *end = skip_digits(digits);
    const long dn = end - digits < 6 ? strtol(digits, NULL, 10) : 0;
    size_t i;

    f->end = word_end(digits);
    f->unit = &dn_size;
    for (i = 0; i < COUNT(dn_sizes); i++)
        if (dn_sizes[i].dn == dn && end == f->end) {
            f->number = dn_sizes[i].inches;
            r->at = f->end;
            return true;
        }
    return refuse_dn(r, f->start, f->end);
}

/* The unit behind the number, which ends at p. */
static bool
scan_unit_of(const struct reader *r, struct figure *f, const char *p)
{
    const char *word = skip_blanks(p);

    f->end = p;
    f->unit = scan_unit(word, &f->end);
    if (f->unit)
        return f->unit != &units[IN_FT] || scan_inches(r, f);
    if (*p == ',' && is_digit(p[1]))
        return refuse_for(r, f->start, figure_end(r, p),
                          "has a comma in its number; a point is needed, as "
                          "in 12.5");
    if (*word == '-')
        return refuse_for(r, f->start, figure_end(r, word),
                          "has a - behind its number; a range is written "
                          "with two points, as in 40..60");
    if (*word == '\0' || *word == '(' || *word == ')' || at_range(word)
        || (r->leading && r->dimension == FC_NUMBER))
        return true;
    return refuse_unit(r, f->start, word_end(word));
}

/* A figure as it is written, whether it is what is needed or not. */
static bool
scan_figure(struct reader *r, struct figure *f)
{
    const char *p = r->at, *wrong;
    bool negative;

    f->start = p;
    if (match(p, "DN") && is_digit(*skip_blanks(p + 2)))
        return scan_dn(r, f, skip_blanks(p + 2));
    negative = scan_sign(&p);
    wrong = scan_magnitude(&p, &f->number);
    if (wrong)
        return refuse(r, f->start, figure_end(r, p), wrong);
    if (!scan_unit_of(r, f, p))
        return false;
    if (negative) { /* -3 ft 6 in is below -3 ft */
        f->number = -f->number;
        f->inches = -f->inches;
    }
    r->at = f->end;
    return true;
}

static bool read_range(struct reader *r, fc_range *value);

/* A figure and the "(172 kPa)" that may follow. */
static bool
scan_item(struct reader *r, struct figure *f)
{
    const char *p;

    if (!scan_figure(r, f))
        return false;
    p = skip_blanks(r->at);
    if (*p != '(' || r->dimension == FC_NUMBER)
        return true;
    if (r->bracketed)
        return refuse(r, f->start, p + 1, "has a bracket within a bracket");
    r->at = skip_blanks(p + 1);
    r->bracketed = true;
    if (!read_range(r, &f->second))
        return false;
    r->bracketed = false;
    p = skip_blanks(r->at);
    if (*p != ')')
        return refuse(r, f->start, word_end(p), "has a bracket left open");
    r->at = f->end = p + 1;
    return true;
}

/* Whether the figure is what is needed; it becomes SI here. */
static bool
judge(const struct reader *r, struct figure *f)
{
    const struct unit *unit = f->unit ? f->unit : &units[IN_NOTHING];
    char wrong[64];

    if (!f->unit && r->dimension != FC_NUMBER)
        return refuse(r, f->start, f->end, "has no unit");
    if (!fits(unit, r->dimension)) {
        snprintf(wrong, sizeof wrong, "is %s",
                 unit == &units[IN_PERCENT]
                     ? "a percentage"
                     : fci_dimension_name(unit->dimension));
        return refuse(r, f->start, f->end, wrong);
    }
    f->si = f->inches != 0.0
                ? to_si(&units[IN_IN], f->number * 12.0 + f->inches)
                : to_si(unit, f->number);
    if (!isfinite(f->si))
        return refuse(r, f->start, f->end, "is too large");
    if (r->dimension == FC_SIZE && !(f->si > 0.0))
        return refuse(r, f->start, f->end, "is not above zero");
    return true;
}

/* Data sheets round: within 1 %, temperatures within 1 degF. */
static bool
agree(fc_dimension dimension, double a, double b)
{
    if (dimension == FC_TEMPERATURE)
        return fabs(a - b) <= 5.0 / 9.0 * (1.0 + 1e-9);
    return fabs(a - b) <= 0.01 * fmax(fabs(a), fabs(b));
}

/* The brackets of a figure against what they repeat. */
static bool
check_second(const struct reader *r, const struct figure *f, fc_range value)
{
    if (!f->second.given
        || (agree(r->dimension, value.low, f->second.low)
            && agree(r->dimension, value.high, f->second.high)))
        return true;
    return refuse_for(r, f->start, f->end,
                      r->dimension == FC_TEMPERATURE
                          ? "says two things; the figure in brackets must "
                            "agree within 1 degF"
                          : "says two things; the figure in brackets must "
                            "agree within 1 %");
}

/* What follows the low end, which has been scanned. */
static bool
read_high_end(struct reader *r, struct figure *low, fc_range *value)
{
    struct figure high = { 0 };

    r->at = skip_blanks(r->at) + 2;
    if (*r->at == '.')
        return refuse_for(r, low->start, figure_end(r, r->at + 1),
                          "has three points; a range has two, as in 40..60");
    r->at = skip_blanks(r->at);
    if (!scan_item(r, &high))
        return false;
    if (!low->unit && high.unit != &dn_size)
        low->unit = high.unit; /* "3/4..1 in" */
    if (low->unit && !high.unit)
        return refuse(r, high.start, high.end,
                      low->unit == &units[IN_PERCENT] ? "has no %"
                                                      : "has no unit");
    if (!judge(r, low) || !judge(r, &high))
        return false;
    if (!(low->si <= high.si))
        return refuse_for(r, low->start, high.end,
                          "runs downwards; the lower figure of a range "
                          "stands first");
    *value = fc_between(low->si, high.si);
    if (r->dimension == FC_SIZE)
        value->nominal = value->low;
    return check_second(r, low, fc_exactly(low->si))
           && check_second(r, &high,
                           high.second.low < high.second.high
                               ? *value /* "40..60 ft (12..18 m)" */
                               : fc_exactly(high.si));
}

static bool
read_range(struct reader *r, fc_range *value)
{
    struct figure f = { 0 };

    if (!scan_item(r, &f))
        return false;
    if (!r->leading && at_range(skip_blanks(r->at))) {
        if (r->range)
            return read_high_end(r, &f, value);
        return refuse_for(r, f.start, f.start + strlen(f.start),
                          "is a range; one figure is needed here");
    }
    if (!judge(r, &f))
        return false;
    *value = fc_exactly(f.si);
    return check_second(r, &f, *value);
}

static bool
reader_over(struct reader *r, const char *text, fc_dimension dimension,
            struct fci_reason *why)
{
    const struct reader fresh = {
        .dimension = dimension, .also = "", .at = skip_blanks(text), .why = why
    };

    *r = fresh;
    if (dimension_of(dimension))
        return true;
    if (why)
        snprintf(why->text, sizeof why->text,
                 "%d is no dimension; one of fc_dimension is needed",
                 (int)dimension);
    return false;
}

static bool
nothing_follows(const struct reader *r, const char *start)
{
    const char *rest = skip_blanks(r->at);
    char wrong[80];

    if (*rest == '\0')
        return true;
    snprintf(wrong, sizeof wrong, "is followed by %s",
             quoted(rest, rest + strlen(rest)).text);
    return refuse(r, start, r->at, wrong);
}

/* The whole text as a figure or range; *value stays when it is not one. */
static bool
read_whole(struct reader *r, fc_range *value)
{
    const char *start = r->at;
    fc_range got;

    if (!read_range(r, &got) || !nothing_follows(r, start))
        return false;
    *value = got;
    return true;
}

bool
fci_read_figure(const char *text, fc_dimension dimension, bool range,
                fc_range *value, struct fci_reason *why)
{
    struct reader r;

    if (!reader_over(&r, text, dimension, why))
        return false;
    r.range = range;
    return read_whole(&r, value);
}

bool
fci_read_leading_figure(const char **text, fc_dimension dimension,
                        double *value, struct fci_reason *why)
{
    struct reader r;
    fc_range got;

    if (!reader_over(&r, *text, dimension, why))
        return false;
    r.leading = true;
    if (!read_range(&r, &got))
        return false;
    *value = got.nominal;
    *text = skip_blanks(r.at);
    return true;
}

bool
fci_read_deviation(const char *text, fc_dimension dimension,
                   fc_deviation *value, struct fci_reason *why)
{
    fc_deviation got = { .given = true };
    struct reader r;
    struct figure f = { 0 };
    fc_range range;

    if (!reader_over(&r, text, dimension, why))
        return false;
    r.also = dimension == FC_NUMBER ? "" : ", or 5 %";
    if (!scan_figure(&r, &f)) /* a first look, for the sign and the unit */
        return false;
    got.is_fraction = f.unit == &units[IN_PERCENT];
    if (got.is_fraction) {
        got.amount = to_si(f.unit, f.number);
        if (!nothing_follows(&r, f.start))
            return false;
    } else {
        r.at = f.start;
        if (!read_whole(&r, &range))
            return false;
        got.amount = range.nominal;
        if (dimension == FC_TEMPERATURE) /* a difference */
            got.amount -= to_si(f.unit, 0.0);
    }
    if (f.number < 0.0)
        return refuse(&r, f.start, f.end, "is below zero");
    *value = got;
    return true;
}

fc_status
fc_parse(const char *text, fc_dimension dimension, fc_range *value,
         fc_diagnostics *messages)
{
    struct fci_reason why;

    if (fci_read_figure(text ? text : "", dimension, true, value, &why))
        return FC_OK;
    return fci_fail(messages, FC_EINPUT, NULL, 0, "%s", why.text);
}

fc_range
fc_exactly(double x)
{
    const fc_range range = { true, x, x, x };

    return range;
}

fc_range
fc_between(double low, double high)
{
    const fc_range range = { true, 0.5 * low + 0.5 * high, low, high };

    return range;
}

/* ---- Print ------------------------------------------------------------- */

const char *
fci_dimension_name(fc_dimension dimension)
{
    const struct dimension *d = dimension_of(dimension);

    return d ? d->name : "a figure";
}

const char *
fc_unit_name(fc_unit_system system, fc_dimension dimension)
{
    return printed_unit(system, dimension)->name;
}

double
fc_from_si(fc_unit_system system, fc_dimension dimension, double si)
{
    const struct unit *unit = printed_unit(system, dimension);

    return si * unit->divide / unit->multiply - unit->shift;
}

/* A point for the locale's own, and no minus before a zero. */
static void
plain(char *text)
{
    const struct radix radix = locale_radix();
    char *point = strstr(text, radix.text);

    if (point) {
        *point = '.';
        memmove(point + 1, point + radix.length,
                strlen(point + radix.length) + 1);
    }
    if (text[0] == '-' && text[strspn(text, "-0.")] == '\0')
        memmove(text, text + 1, strlen(text));
}

static void
trim_zeros(char *text)
{
    size_t n = strlen(text);

    if (!strchr(text, '.') || strchr(text, 'e'))
        return;
    while (text[n - 1] == '0')
        n--;
    text[text[n - 1] == '.' ? n - 1 : n] = '\0';
}

struct digits {
    char text[40];
};

#define LARGEST_PLAIN 1e9

/* FREE: four figures, or all those before the point. */
static struct digits
number_text(double x, int decimals, bool trim)
{
    struct digits d;

    if (isnan(x))
        snprintf(d.text, sizeof d.text, "nan");
    else if (!(fabs(x) < LARGEST_PLAIN))
        snprintf(d.text, sizeof d.text, "%.4g", x);
    else if (decimals == FREE && fabs(x) < 1000.0)
        snprintf(d.text, sizeof d.text, "%.4g", x);
    else
        snprintf(d.text, sizeof d.text, "%.*f",
                 decimals == FREE ? 0 : decimals, x);
    plain(d.text);
    if (trim)
        trim_zeros(d.text);
    return d;
}

/* "1-1/4" when the size is a number of sixteenths; "" otherwise. */
static struct digits
inches_text(double si)
{
    struct digits d = { "" };
    const double sixteenths = si / 0.0254 * 16.0;
    int whole, n, below = 16;

    if (!(sixteenths > 0.5 && sixteenths < 16e4)
        || fabs(sixteenths - round(sixteenths)) > 1e-6)
        return d;
    n = (int)lround(sixteenths);
    whole = n / 16;
    n %= 16;
    for (; n > 0 && n % 2 == 0; n /= 2)
        below /= 2;
    if (n == 0)
        snprintf(d.text, sizeof d.text, "%d", whole);
    else if (whole == 0)
        snprintf(d.text, sizeof d.text, "%d/%d", n, below);
    else
        snprintf(d.text, sizeof d.text, "%d-%d/%d", whole, n, below);
    return d;
}

/* The digits to print; *unit is the name of the unit behind them. */
static struct digits
digits_of(fc_unit_system system, fc_dimension dimension, double si,
          const char **unit)
{
    const struct dimension *d = dimension_of(dimension);
    const double x = fc_from_si(system, dimension, si);
    struct digits digits;
    int decimals = printed_decimals(system, dimension);

    *unit = fc_unit_name(system, dimension);
    if (dimension == FC_SIZE) {
        digits = inches_text(si);
        *unit = units[digits.text[0] ? IN_IN : IN_MM].name;
        return digits.text[0] ? digits : number_text(1000.0 * si, 2, true);
    }
    if (*unit == units[IN_KPA].name && fabs(x) < 9.95)
        decimals = 1; /* 1 kPa is too coarse for a small loss */
    return number_text(x, decimals, d && d->trim);
}

static struct fci_shown
shown(const char *digits, const char *unit)
{
    struct fci_shown s;

    snprintf(s.text, sizeof s.text, *unit ? "%s %s" : "%s%s", digits, unit);
    return s;
}

struct fci_shown
fci_show(fc_unit_system system, fc_dimension dimension, double si)
{
    const char *unit;
    const struct digits d = digits_of(system, dimension, si, &unit);

    return shown(d.text, unit);
}

struct fci_shown
fci_show_diameter(fc_unit_system system, double si)
{
    const int decimals = printed_decimals(system, FC_SIZE);
    const double x = fc_from_si(system, FC_SIZE, si);

    return shown(number_text(x, decimals, false).text,
                 fc_unit_name(system, FC_SIZE));
}

struct fci_shown
fci_show_range(fc_unit_system system, fc_dimension dimension, fc_range range)
{
    const char *low_unit, *high_unit;
    const struct digits low =
        digits_of(system, dimension, range.low, &low_unit);
    const struct digits high =
        digits_of(system, dimension, range.high, &high_unit);
    const bool same_unit = strcmp(low_unit, high_unit) == 0;
    char both[2 * sizeof(struct digits) + 8];

    if (!range.given)
        return shown("not given", "");
    if (same_unit && strcmp(low.text, high.text) == 0)
        return shown(low.text, low_unit);
    snprintf(both, sizeof both, "%s%s%s..%s", low.text, same_unit ? "" : " ",
             same_unit ? "" : low_unit, high.text);
    return shown(both, high_unit);
}
