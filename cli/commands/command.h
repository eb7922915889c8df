/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/commands/command.h -- the commands. */
#ifndef CLI_COMMANDS_COMMAND_H
#define CLI_COMMANDS_COMMAND_H

#include "shell/options.h"

#define ANY_NUMBER ((size_t)-1)

struct command {
    const char *name;
    const char *operands; /* as the usage shows them */
    const char *summary;
    const char *help;   /* what stands under the usage */
    unsigned options;   /* that it takes */
    size_t least, most; /* operands */
    int (*run)(const struct options *options); /* returns the exit status */
};

extern const struct command command_check, command_diagnose, command_flush,
    command_path, command_size, command_tables, command_verify;

#endif
