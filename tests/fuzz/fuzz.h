/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/fuzz/fuzz.h -- what the fuzz targets share.
 *
 * An input is a text: at first a site file, then blocks that each begin with a
 * line `;;NAME`, such as `;;tables` (the file `tables.ini` beside it) or
 * `;;set` (a line each of what is set over it).  Every oracle returns NULL, or
 * what does not hold.
 */
#ifndef TESTS_FUZZ_FUZZ_H
#define TESTS_FUZZ_FUZZ_H

#include "flushcalc.h"
#include "flushcalc/starter.h"

#include <stdint.h>

/* The first condition that does not hold is the answer. */
#define HOLDS(condition)                                                      \
    do                                                                        \
        if (!(condition))                                                     \
            return #condition;                                                \
    while (0)
#define ALL_HOLD(call)                                                        \
    do {                                                                      \
        const char *broken_ = (call);                                         \
        if (broken_)                                                          \
            return broken_;                                                   \
    } while (0)

/* ---- Inputs: fuzz.c ---------------------------------------------------- */

/* As the site and its tables stand in an input; `path` is where they are. */
struct fuzz_input {
    const char *text; /* the whole, ended by a zero byte */
    size_t length;
    size_t site;  /* bytes of the site file */
    bool changed; /* the site at hand is another than that file's */
    char path[64];
};

#define FUZZ_MOST_LINES 16

/* Lines of a block: pointers into `room`, each ended by a zero byte. */
struct fuzz_lines {
    size_t n;
    const char *lines[FUZZ_MOST_LINES];
    char room[2048];
};
void fuzz_lines(const struct fuzz_input *input, const char *block,
                struct fuzz_lines *lines);
/* A number from the whole text, the same for the same text and `what`: what
 * the slow oracles are chosen by. */
unsigned fuzz_pick(const struct fuzz_input *input, unsigned what);

/* As fc_site_read_text_with(), but the tables that are built in are read once
 * for all: most of the time it takes. */
fc_status fuzz_read(const char *text, size_t length, const char *path,
                    const struct fuzz_lines *set, fc_site **site,
                    fc_diagnostics *messages);

/* How thoroughly: a fuzzer asks some of the slow oracles of each input, what
 * is replayed asks all. */
extern bool fuzz_thorough;

/* ---- Targets: targets.c ------------------------------------------------ */

struct fuzz_target {
    const char *name;
    const char *block; /* what of an input is changed most; "": the site */
    const char *needs; /* what a seed must hold; "": nothing */
    const char *const *folders; /* of seeds beside its own; ends with NULL */
    const char *(*run)(const struct fuzz_input *input);
};

extern const struct fuzz_target fuzz_targets[];
extern const size_t fuzz_n_targets;
/* NULL: there is none of that name. */
const struct fuzz_target *fuzz_target_named(const char *name);

/* What became of the last input. */
struct fuzz_outcome {
    fc_status read, checked; /* of the site, as far as it came to that */
    bool accepted;           /* nothing refused it */
};
extern struct fuzz_outcome fuzz_outcome;

const char *fuzz_run(const struct fuzz_target *target, const uint8_t *data,
                     size_t length);

const char *fuzz_calls_target(const struct fuzz_input *input);
const char *fuzz_command_target(const struct fuzz_input *input);

/* ---- Oracles ----------------------------------------------------------- */

/* Texts and figures: say.c */
const char *try_line(const char *text);
const char *try_messages(fc_status status, const fc_diagnostics *messages);
const char *try_range(fc_range range);

/* What a check, a path and a claim are by themselves: results.c */
const char *try_result(const fc_check_result *result);
const char *try_path(const fc_path *path, const fc_fixture_state *judged);
const char *try_claim(const fc_checked_claim *claim);

/* What several commands say of one building: verdicts.c */
const char *try_paths(const fc_site *site, const fc_check_result *result);
const char *try_alone(const fc_site *site, const fc_check_result *result);
const char *try_at_once(const fc_site *site, const fc_check_result *result,
                        unsigned pick);
const char *try_claims(const fc_site *site, const fc_check_result *result);
const char *try_short(const fc_site *site, const fc_check_result *result);
const char *try_sites(const struct fuzz_input *input,
                      const fc_check_result *result);

/* The reports: reports.c.  `input`: whose text may hold words that no report
 * has of itself. */
struct fci_shape;
const char *try_report(fc_report *report, const struct fci_shape *shape,
                       const struct fuzz_input *input);
const char *try_units(fc_site *site, const fc_check_result *result);
const char *try_commands(const fc_site *site, const struct fuzz_input *input);

/* Buildings that are to be the same: same.c */
const char *try_same(const fc_site *one, const fc_site *other);
const char *try_rewritten(const fc_site *site);

/* All of them of a finished site, of a large one few: site.c */
bool fuzz_is_large(const fc_site *site);
const char *try_site(fc_site *site, const struct fuzz_input *input);
/* Little work a site: what all oracles check it with. */
extern const fc_check_options fuzz_options;

/* ---- Mutations: mutate.c ----------------------------------------------- */

/* What stands in these texts is put into inputs; they must last. */
void fuzz_donor(const char *text, size_t length);
void fuzz_no_donors(void);
/* Change an input of `size` bytes in room for `most`; the same seed does the
 * same.  Returns its new size. */
size_t fuzz_mutate(uint8_t *data, size_t size, size_t most, const char *block,
                   unsigned long long seed);

/* ---- Inputs drawn from a seed: inputs.c -------------------------------- */

/* False: the target has no seeds. */
bool fuzz_begin(const struct fuzz_target *target, unsigned long long seed);
/* Into room for FUZZ_LARGEST bytes; its size. */
size_t fuzz_next(const struct fuzz_target *target, uint8_t *data);
/* One that was accepted, so that others are made of it. */
void fuzz_keep(const uint8_t *data, size_t size);

/* ---- Seeds: seeds.c ---------------------------------------------------- */

#define FUZZ_LARGEST 16384

struct fuzz_seed {
    char *path, *text;
    size_t length;
};

/* The files that a target begins with, of its own folder in tests/fuzz/corpus
 * and of its other ones.  Those that lack what it needs, or are large, are
 * donors alone. */
size_t fuzz_seeds(const struct fuzz_target *target,
                  const struct fuzz_seed **seeds);

#endif
