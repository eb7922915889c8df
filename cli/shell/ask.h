/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/shell/ask.h -- questions on a terminal, one after the other. */
#ifndef CLI_SHELL_ASK_H
#define CLI_SHELL_ASK_H

#include "flushcalc.h"

#include <stdio.h>

struct question {
    const char *key;    /* of the answer, as an argument or a file has it */
    const char *asks;   /* "Static pressure at the street main" */
    const char *may_be; /* "psi, such as 52 or 50..55"; NULL: not said */
    /* Whether an answer, without blanks around it, can be taken; if not, why
     * goes to the messages.  NULL: any can. */
    bool (*check)(const struct question *question, const char *answer,
                  fc_diagnostics *why);
    bool needed; /* an empty line is no answer to it */
};

/* Whether there is somebody to ask: both standard input and standard error are
 * a terminal. */
bool ask_can(void);

/* Ask n questions in turn, on `to`, and read a line for each from `from`.  An
 * empty line is no answer: it is not known, or asked again where it is needed.
 * One that cannot be taken is told
 * why and asked again.  The end of the input ends it.  answers[i] becomes
 * NULL or a text to be freed, by ask_free().  False: out of memory or `from`
 * cannot be read, and said; there is nothing to free then. */
bool ask(const struct question *questions, size_t n, char **answers,
         FILE *from, FILE *to);
void ask_free(char **answers, size_t n);

/* Ask n questions on the terminal; the answers, *given of them, as arguments
 * would have them, "key=answer", to be freed by ask_free() and free().  NULL,
 * and said: they cannot be had. */
char **ask_operands(const struct question *questions, size_t n, size_t *given);

#endif
