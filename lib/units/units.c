/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/units/units.c -- the units of the trade, and what they are in SI.
 *
 *   [SP811]  A. Thompson, B. N. Taylor, Guide for the Use of the
 *            International System of Units, NIST SP 811, 2008, Appendix B
 *            (from memory): in = 0.0254 m, ft = 0.3048 m, US gal = 231 in3,
 *            US fl oz = gal/128, psi = lbf/in2 with lbf = 0.45359237 kg x
 *            9.80665 m/s2; conventional water: 9806.65 N/m3 for ftH2O, mH2O
 *   [DN]     nominal sizes DN and NPS side by side: ASME B36.10M (from memory)
 */
#include "units/unit_table.h"
#include "ground/call.h"
#include "ground/characters.h"
#include "ground/synonyms.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

#define GALLON 3785411784.0                /* 231 in3, in 1e-12 m3 */
#define PSI 44482216152605.0, 6451600000.0 /* lbf by in2 in 1e-13 N, m2 */

/* [SP811] */
const struct fci_unit fci_units[FCI_UNITS] = {
    [FCI_PSI] = { "psi", FC_PRESSURE, PSI, 0.0 },
    [FCI_KPA] = { "kPa", FC_PRESSURE, 1000.0, 1.0, 0.0 },
    [FCI_BAR] = { "bar", FC_PRESSURE, 100000.0, 1.0, 0.0 },
    [FCI_FTH2O] = { "ftH2O", FC_PRESSURE, 298906692.0, 100000.0, 0.0 },
    [FCI_MH2O] = { "mH2O", FC_PRESSURE, 980665.0, 100.0, 0.0 },
    [FCI_GPM] = { "gpm", FC_FLOW, GALLON, 60e12, 0.0 },
    [FCI_LPS] = { "L/s", FC_FLOW, 1.0, 1000.0, 0.0 },
    [FCI_LPM] = { "L/min", FC_FLOW, 1.0, 60000.0, 0.0 },
    [FCI_M3H] = { "m3/h", FC_FLOW, 1.0, 3600.0, 0.0 },
    [FCI_FT] = { "ft", FC_LENGTH, 3048.0, 10000.0, 0.0 },
    [FCI_M] = { "m", FC_LENGTH, 1.0, 1.0, 0.0 },
    [FCI_IN] = { "in", FC_LENGTH, 254.0, 10000.0, 0.0 },
    [FCI_MM] = { "mm", FC_LENGTH, 1.0, 1000.0, 0.0 },
    [FCI_FPS] = { "ft/s", FC_VELOCITY, 3048.0, 10000.0, 0.0 },
    [FCI_MPS] = { "m/s", FC_VELOCITY, 1.0, 1.0, 0.0 },
    [FCI_GAL] = { "gal", FC_VOLUME, GALLON, 1e12, 0.0 },
    [FCI_L] = { "L", FC_VOLUME, 1.0, 1000.0, 0.0 },
    [FCI_M3] = { "m3", FC_VOLUME, 1.0, 1.0, 0.0 },
    [FCI_OZ] = { "oz", FC_VOLUME, GALLON, 128e12, 0.0 },
    [FCI_S] = { "s", FC_TIME, 1.0, 1.0, 0.0 },
    [FCI_MIN] = { "min", FC_TIME, 60.0, 1.0, 0.0 },
    [FCI_H] = { "h", FC_TIME, 3600.0, 1.0, 0.0 },
    [FCI_D] = { "d", FC_TIME, 86400.0, 1.0, 0.0 },
    [FCI_WEEK] = { "week", FC_TIME, 604800.0, 1.0, 0.0 },
    [FCI_YEAR] = { "year", FC_TIME, 31536000.0, 1.0, 0.0 }, /* of 365 days */
    [FCI_DEGF] = { "degF", FC_TEMPERATURE, 5.0, 9.0, -32.0 },
    [FCI_DEGC] = { "degC", FC_TEMPERATURE, 1.0, 1.0, 0.0 },
    [FCI_NO_UNIT] = { "", FC_NUMBER, 1.0, 1.0, 0.0 },
    [FCI_PERCENT] = { "%", FC_NUMBER, 1.0, 100.0, 0.0 },
    [FCI_DN] = { "DN", FC_SIZE, 254.0, 10000.0, 0.0 },
};

/* [DN] */
const struct fci_dn_size fci_dn_sizes[FCI_DN_SIZES] = {
    { 8, 0.25 },  { 10, 0.375 }, { 15, 0.5 },  { 20, 0.75 }, { 25, 1.0 },
    { 32, 1.25 }, { 40, 1.5 },   { 50, 2.0 },  { 65, 2.5 },  { 80, 3.0 },
    { 90, 3.5 },  { 100, 4.0 },  { 125, 5.0 }, { 150, 6.0 }, { 200, 8.0 },
};

static const struct fci_dimension dimensions[] = {
    [FC_NUMBER] = { "a number", "100 or 50%", FCI_NO_UNIT, FCI_NO_UNIT },
    [FC_PRESSURE] = { "a pressure", "62 psi or 4.3 bar", FCI_PSI, FCI_KPA },
    [FC_FLOW] = { "a flow", "25 gpm or 1.6 L/s", FCI_GPM, FCI_LPS },
    [FC_LENGTH] = { "a length", "12 ft or 3.5 m", FCI_FT, FCI_M },
    [FC_SIZE] = { "a nominal size", "1-1/4 in or DN32", FCI_IN, FCI_MM },
    [FC_VELOCITY] = { "a velocity", "8 ft/s or 2.4 m/s", FCI_FPS, FCI_MPS },
    [FC_VOLUME] = { "a volume", "1.6 gal or 6 L", FCI_GAL, FCI_L },
    [FC_TIME] = { "a time", "4 s or 5 min", FCI_S, FCI_S },
    [FC_TEMPERATURE] = { "a temperature", "60 degF or 15 degC", FCI_DEGF,
                         FCI_DEGC },
    [FC_WATER] = { "a volume of water", "1000 gal or 4 m3", FCI_GAL, FCI_M3 },
};

const struct fci_dimension *
fci_dimension(fc_dimension dimension)
{
    return (size_t)dimension < COUNT(dimensions) ? &dimensions[dimension]
                                                 : NULL;
}

const char *
fci_dimension_name(fc_dimension dimension)
{
    const struct fci_dimension *d = fci_dimension(dimension);

    return d ? d->name : "a figure";
}

/* Whether a unit may end behind n bytes at p; "12ft6in" is the one place where
 * a digit follows one, and the point of "in." is none of a range. */
static bool
may_end(const char *p, size_t n, const struct fci_unit *unit)
{
    const char last = p[n - 1], next = p[n];

    if (last == '.')
        return next != '.';
    if (!fci_is_letter(last) && !fci_is_digit(last) && last != '%')
        return true; /* a mark: 12'6" */
    return !fci_is_letter(next) && next != '/'
           && !(fci_is_digit(next) && unit != &fci_units[FCI_FT]);
}

/* The longest of those that the table has, and its length; NULL: none. */
static const struct fci_unit *
known_unit_at(const char *p, size_t *longest)
{
    const struct fci_unit *found = NULL;
    size_t i, n;

    *longest = 0;
    for (i = 0; i < FCI_DN; i++)
        if ((n = fci_match(p, fci_units[i].name)) > *longest) {
            *longest = n;
            found = &fci_units[i];
        }
    return found && may_end(p, *longest, found) ? found : NULL;
}

/* The longest synonym of one. */
static const struct fci_unit *
other_unit_at(const char *p, size_t *longest)
{
    const struct fci_synonym *synonym;
    size_t most = SIZE_MAX, i;

    while ((synonym = fci_synonym_at("units", p, most, longest)) != NULL) {
        for (i = 0; strcmp(fci_units[i].name, synonym->means) != 0;)
            i++;
        if (may_end(p, *longest, &fci_units[i]))
            return &fci_units[i];
        most = *longest - 1;
    }
    return NULL;
}

const struct fci_unit *
fci_unit_at(const char *p, const char **end)
{
    const struct fci_unit *known, *other;
    size_t n, n_other;

    if (!*p)
        return NULL;
    known = known_unit_at(p, &n);
    other = other_unit_at(p, &n_other);
    if (other && (!known || n_other > n)) {
        known = other;
        n = n_other;
    }
    if (known)
        *end = p + n;
    return known;
}

bool
fci_unit_fits(const struct fci_unit *unit, fc_dimension dimension)
{
    return unit->dimension == dimension
           || (dimension == FC_WATER && unit->dimension == FC_VOLUME)
           || (dimension == FC_SIZE
               && (unit == &fci_units[FCI_IN] || unit == &fci_units[FCI_MM]));
}

double
fci_to_si(const struct fci_unit *unit, double figure)
{
    return (figure + unit->shift) * unit->multiply / unit->divide;
}

static const struct fci_unit *
reported_unit(fc_unit_system system, fc_dimension dimension)
{
    const struct fci_dimension *d = fci_dimension(dimension);

    if (!d || !FCI_IS_ENUM(system, FC_SI))
        return &fci_units[FCI_NO_UNIT];
    return &fci_units[system == FC_SI ? d->si : d->us];
}

const char *
fc_unit_name(fc_unit_system system, fc_dimension dimension)
{
    return reported_unit(system, dimension)->name;
}

double
fc_from_si(fc_unit_system system, fc_dimension dimension, double si)
{
    const struct fci_unit *unit = reported_unit(system, dimension);

    if (!FCI_IS_ENUM(system, FC_SI) || !fci_dimension(dimension))
        return NAN;
    return si * unit->divide / unit->multiply - unit->shift;
}
