/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/commands/complete.h -- what a shell may make of a word half typed. */
#ifndef CLI_COMMANDS_COMPLETE_H
#define CLI_COMMANDS_COMPLETE_H

#include "commands/command.h"

/* Write, one a line, what the last of these words may become, the others being
 * what stands before it; nothing where a name of a file is meant.  Returns the
 * exit status. */
int complete_words(const struct command *const *commands, size_t n_commands,
                   char *const *words, size_t n);

/* The fixtures of the site that comes first of the operands, for all operands
 * behind it that are not among them yet. */
void complete_fixtures(const char *const *operands, size_t n,
                       const struct completion *to);

#endif
