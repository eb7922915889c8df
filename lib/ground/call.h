/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/call.h -- what a public call is given, looked at before anything
 * is done with it.
 *
 *     if (FCI_REFUSES(messages, FCI_GIVEN(site), FCI_STATE(state),
 *                     FCI_LISTED(readings, n), FCI_GIVEN(result)))
 *         return FC_EINPUT;
 */
#ifndef FCI_GROUND_CALL_H
#define FCI_GROUND_CALL_H

#include "flushcalc.h"

/* Of items that a caller lists: above it, a slip. */
#define FCI_MOST_LISTED 1000000u
/* Of what a caller may have drawn or solved. */
#define FCI_MOST_TRIED 1000000000u
/* Of buildings, whose outcomes are kept. */
#define FCI_MOST_DRAWS 10000000u

/* An argument, and what is wrong with it where it is not `good`. */
struct fci_argument {
    const char *name;
    bool good;
    const char *wrong;
};

/* Whether one of them is not good, which is said of the call. */
bool fci_call_refused(fc_diagnostics *messages, const char *call,
                      const struct fci_argument *arguments, size_t n);
/* Whether all of so many texts are there. */
bool fci_all_given(const char *const *texts, size_t n);
/* Whether all of so many files have a path. */
bool fci_all_named(const fc_site_file *files, size_t n);

#define FCI_REFUSES(messages, ...)                                            \
    fci_call_refused(messages, __func__,                                      \
                     (const struct fci_argument[]){ __VA_ARGS__ },            \
                     sizeof((const struct fci_argument[]){ __VA_ARGS__ })     \
                         / sizeof(struct fci_argument))

#define FCI_GIVEN(pointer) FCI_NAMED(#pointer, pointer)
#define FCI_NAMED(name, pointer)                                              \
    {                                                                         \
        name, (pointer) != NULL, "is NULL; it is needed"                      \
    }
#define FCI_LISTED(list, n) FCI_NAMED_LIST(#list, list, n)
#define FCI_NAMED_LIST(name, list, n)                                         \
    {                                                                         \
        name, (n) == 0 || ((list) != NULL && (n) <= FCI_MOST_LISTED),         \
            "is NULL with a count above 0, or has over 1,000,000 items; as "  \
            "many items as are counted are expected"                          \
    }
#define FCI_ALL_TEXTS(list, n)                                                \
    FCI_LISTED(list, n),                                                      \
    {                                                                         \
#list, (n)> FCI_MOST_LISTED || fci_all_given(list, n),                \
            "holds NULL; texts are expected"                                  \
    }
#define FCI_FILES(list, n)                                                    \
    FCI_LISTED(list, n),                                                      \
    {                                                                         \
#list, (n)> FCI_MOST_LISTED || fci_all_named(list, n),                \
            "holds one without a path; a path is expected of each"            \
    }
#define FCI_TEXT_OF(text, length)                                             \
    {                                                                         \
#text, (length) == 0 || (text) != NULL,                               \
            "is NULL with a length above 0; a text is expected"               \
    }
#define FCI_AT_MOST(name, number, most, in_words)                             \
    {                                                                         \
        name, (number) <= (most),                                             \
            "is more than can be done; at most " in_words " is expected"      \
    }
/* Enumerations count up from 0. */
#define FCI_IS_ENUM(value, last) ((unsigned)(value) <= (unsigned)(last))
#define FCI_NAMED_ENUM(name, value, last)                                     \
    {                                                                         \
        name, FCI_IS_ENUM(value, last),                                       \
            "is no value of its enum; one of these is expected"               \
    }
#define FCI_ENUM(value, last) FCI_NAMED_ENUM(#value, value, last)
#define FCI_STATE(state) FCI_ENUM(state, FC_RETROFIT)
#define FCI_UNITS(units) FCI_ENUM(units, FC_SI)

/* What options hold, which may be NULL. */
#define FCI_OF(options, member) ((options) ? (options)->member : 0)
#define FCI_STATES_TRIED(options, member)                                     \
    FCI_AT_MOST("options->" #member, FCI_OF(options, member), FCI_MOST_TRIED, \
                "1,000,000,000")
#define FCI_ENUM_OF(options, member, last)                                    \
    FCI_NAMED_ENUM("options->" #member, FCI_OF(options, member), last)
#define FCI_SITES_OPTIONS(options)                                            \
    FCI_ENUM_OF(options, units, FC_SI),                                       \
        FCI_STATES_TRIED(options, check.most_states),                         \
        FCI_ALL_TEXTS((options) ? (options)->settings : NULL,                 \
                      FCI_OF(options, n_settings))

#endif
