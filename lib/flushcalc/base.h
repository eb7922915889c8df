/* SPDX-License-Identifier: GPL-3.0-or-later */
/* flushcalc/base.h -- what every call speaks of: statuses, messages, figures
 * and units. */
#ifndef FLUSHCALC_BASE_H
#define FLUSHCALC_BASE_H

#include <stdbool.h>
#include <stddef.h>

#ifdef __cplusplus
extern "C" {
#endif

/* ---- Status and diagnostics ------------------------------------------- */

/* One place for code and text. */
#define FC_STATUS_LIST(X)                                                     \
    X(FC_OK, "success")                                                       \
    X(FC_ENOMEM, "out of memory")                                             \
    X(FC_EIO, "a file cannot be read or written")                             \
    X(FC_EINPUT, "the input is not understood")                               \
    X(FC_EUNSUPPORTED, "the input asks for what is not calculated yet")       \
    X(FC_EUNKNOWN, "no such name")                                            \
    X(FC_ESTATE, "the call does not fit the state of the site")               \
    X(FC_ENOCONV, "the flows did not settle")

typedef enum fc_status {
#define FC_STATUS_CODE(code, text) code,
    FC_STATUS_LIST(FC_STATUS_CODE)
#undef FC_STATUS_CODE
} fc_status;

/** The text of a status; "unknown status" for any other number. */
const char *fc_status_text(fc_status status);

/* The version of this header; FC_VERSION is "major.minor.patch". */
#define FC_VERSION_MAJOR 0
#define FC_VERSION_MINOR 1
#define FC_VERSION_PATCH 0
#define FC_VERSION "0.1.0"

/** The version of the library that the program runs with, likewise. */
const char *fc_version(void);

/* Room for n members to come, of 8 bytes each; all zero. */
#define FC_ROOM(n) unsigned long long reserved[n]

typedef enum fc_severity { FC_NOTE, FC_WARN, FC_FAIL } fc_severity;

/** One message.  Borrowed from the list it was read from. */
typedef struct fc_diagnostic {
    fc_severity severity; /* FC_FAIL: the call failed because of it */
    const char *file;     /* NULL: no file is concerned */
    int line;             /* 1-based; 0: no particular line */
    const char *text;     /* what is wrong; what is expected */
    FC_ROOM(8);
} fc_diagnostic;

/**
 * A list of messages, owned by the caller, appended to by calls that fail.
 * Every function that takes one accepts NULL.  A list holds at most 50
 * failures; the one after them says that there were more.
 */
typedef struct fc_diagnostics fc_diagnostics;

/** An empty list, or NULL when out of memory. */
fc_diagnostics *fc_diagnostics_new(void);
void fc_diagnostics_free(fc_diagnostics *list);
size_t fc_diagnostics_count(const fc_diagnostics *list);
/** Message i, 0 <= i < count; past the count one with an empty text. */
fc_diagnostic fc_diagnostics_at(const fc_diagnostics *list, size_t i);

/* ---- Quantities ------------------------------------------------------- */

typedef enum fc_dimension {
    FC_NUMBER, /* no unit; a percentage counts as a fraction */
    FC_PRESSURE,
    FC_FLOW,
    FC_LENGTH,
    FC_SIZE, /* a nominal size: a label, not a measured diameter */
    FC_VELOCITY,
    FC_VOLUME,
    FC_TIME,
    FC_TEMPERATURE,
    FC_WATER /* a volume too, as a bill has it: in m3, where a flush is in L */
} fc_dimension;

typedef enum fc_unit_system { FC_US, FC_SI } fc_unit_system;

/**
 * A figure as it is known.  All zero means "not given".  An exact figure has
 * low = nominal = high.
 */
typedef struct fc_range {
    bool given;
    double nominal, low, high; /* low <= nominal <= high */
} fc_range;

/** The figure x, exactly. */
fc_range fc_exactly(double x);
/** Something between low and high (low <= high); nominal is the middle. */
fc_range fc_between(double low, double high);

/**
 * Read a figure as a site file writes it: "62 psi", "1-1/4 in", "DN32",
 * "12 ft 6 in", "40..60 ft", "25 psi (172 kPa)".
 *
 * @param text       the figure with its unit
 * @param dimension  what it must be
 * @param value      set to the figure in SI; kept on failure
 * @param messages   gets the reason on failure; may be NULL
 *
 * @return FC_OK, FC_EINPUT or FC_ENOMEM
 */
fc_status fc_parse(const char *text, fc_dimension dimension, fc_range *value,
                   fc_diagnostics *messages);

/** The unit a report uses: "psi" or "kPa", "gpm" or "L/s", ...; "" of what is
 * no system or no dimension. */
const char *fc_unit_name(fc_unit_system system, fc_dimension dimension);
/** A figure in SI turned into the unit that fc_unit_name() names; NaN where
 * there is no such system or dimension. */
double fc_from_si(fc_unit_system system, fc_dimension dimension, double si);

/** Which way the last digit goes: down or up where what is printed must still
 * hold. */
typedef enum fc_rounding { FC_NEAREST, FC_DOWN, FC_UP } fc_rounding;

/**
 * The digits of a figure as every report prints it, in the unit that
 * fc_unit_name() names: psi, gpm, ft and ft/s to 0.1, kPa to 1 (below 10 to
 * 0.1), L/s, m and m/s to 0.01, an FC_SIZE as a measured diameter.
 *
 * @param decimals  at least so many behind the point, up to 15; 0: as many as
 *                  it is worth, more where two figures must not look the same
 * @param si        the figure in SI
 * @param text      gets the digits; 40 characters hold any
 */
void fc_show(fc_unit_system system, fc_dimension dimension,
             fc_rounding rounding, int decimals, double si, char *text,
             size_t size);
/** Likewise a number without a unit, such as a cost or so many per cent, with
 * just so many decimals. */
void fc_show_number(fc_rounding rounding, int decimals, double number,
                    char *text, size_t size);

#ifdef __cplusplus
}
#endif

#endif
