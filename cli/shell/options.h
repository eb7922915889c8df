/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/shell/options.h -- what the command line asks for. */
#ifndef CLI_SHELL_OPTIONS_H
#define CLI_SHELL_OPTIONS_H

#include "flushcalc.h"

#include <stdio.h>

/* The options that a command may take, as bits. */
enum {
    OPTION_FORMAT = 1,
    OPTION_OUTPUT = 2,
    OPTION_UNITS = 4,
    OPTION_STATE = 8,
    OPTION_DARCY = 16,
    OPTION_ALL = 32,
    OPTION_SEED = 64,
    OPTION_THREADS = 128,
    OPTION_WRITE = 256,
    OPTION_REMEDY = 512,
    OPTION_PICK = 1024,
    OPTION_RECORD = 2048,
    OPTION_SYMPTOM = 4096,
    OPTION_SHEET = 8192,
    OPTION_FULL = 16384,
    OPTION_TABLE = 32768,
    OPTION_HELP = 65536,
    OPTION_VERSION = 131072,
    OPTION_SCHEMA = 262144,
    OPTION_SET = 524288,
    OPTION_SWEEP = 1048576,

    OPTION_REPEATS = OPTION_SET, /* may be given more than once */
    OPTION_ANYWHERE = OPTION_HELP | OPTION_VERSION | OPTION_SCHEMA,
    /* of every report */
    OPTION_REPORT = OPTION_FORMAT | OPTION_OUTPUT | OPTION_FULL | OPTION_TABLE
};

#define N_OPTIONS 21

/* An option, by the place of its bit. */
struct option_row {
    const char *name;
    char letter;              /* that it may be written by; 0: none */
    const char *takes;        /* "FILE"; NULL: nothing, or one of `words` */
    const char *const *words; /* that it may take; NULL: any */
    const char *help;
};
extern const struct option_row option_rows[N_OPTIONS];
bool option_takes_value(const struct option_row *row);

/* What an option does in a command where that differs from its row. */
struct option_help {
    unsigned option; /* its bit; 0: none differs */
    const char *help;
};

/* A line or two for each of these options; `own` may be NULL. */
void options_help(unsigned allowed, const struct option_help *own, FILE *out);
/* A text wrapped; lines that begin with a blank only where they are too wide.
 */
void options_text(const char *text, FILE *out);

struct options {
    unsigned given; /* bits of what was said */
    fc_form format;
    const char *output; /* NULL: standard output */
    const char *table;  /* of --format csv; NULL: the first */
    const char *write;  /* a file for a site file; NULL: none */
    fc_unit_system units;
    fc_state state;
    fc_symptom symptom;
    unsigned long seed; /* 0: not said */
    unsigned threads;   /* the same */
    unsigned long pick; /* the same */
    const char **set;   /* what --set gave, each */
    size_t n_set;
    const char *sweep;     /* NULL: none */
    const char **operands; /* behind the command's name */
    size_t n_operands;
    char **argv;         /* all of it, ends with NULL */
    const char *command; /* NULL: none */
    const char **words;  /* to be freed */
};

/* Read the command line.  False, and said, when it is not understood. */
bool options_read(struct options *options, int argc, char **argv);
void options_free(struct options *options);

/* Whether a command that takes the options `allowed` can do with these; if
 * not, it is said. */
bool options_fit(const struct options *options, unsigned allowed);

#endif
