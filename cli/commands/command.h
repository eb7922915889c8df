/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/commands/command.h -- the commands. */
#ifndef CLI_COMMANDS_COMMAND_H
#define CLI_COMMANDS_COMMAND_H

#include "shell/options.h"

#define ANY_NUMBER ((size_t)-1)

/* A word that a shell completes (commands/complete.c). */
struct completion;
void complete_offer(const struct completion *to, const char *word);

struct command {
    const char *name;
    const char *operands; /* as the usage shows them */
    const char *summary;
    const char *about;  /* what it does; options are told by their rows */
    const char *status; /* its exit status; NULL: 0 or 2 */
    unsigned options;   /* that it takes */
    struct option_help own;
    bool makes_site;    /* --output writes a site file, not a report */
    size_t least, most; /* operands */
    /* What the operand behind these may be, for a shell; NULL: a file. */
    void (*offer)(const char *const *operands, size_t n,
                  const struct completion *to);
    int (*run)(const struct options *options); /* returns the exit status */
};

extern const struct command command_check, command_compare, command_diagnose,
    command_effects, command_flush, command_new, command_path, command_quick,
    command_size, command_tables, command_verify;

#endif
