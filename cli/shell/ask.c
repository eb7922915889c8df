/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/shell/ask.c -- questions on a terminal, one after the other. */
#include "shell/ask.h"
#include "shell/complain.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define BLANKS " \t\r\n"

bool
ask_can(void)
{
    return isatty(STDIN_FILENO) && isatty(STDERR_FILENO);
}

void
ask_free(char **answers, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        free(answers[i]);
        answers[i] = NULL;
    }
}

static void
put_question(const struct question *question, FILE *to)
{
    fprintf(to, "%s", question->asks);
    if (question->may_be)
        fprintf(to, " (%s)", question->may_be);
    fprintf(to, ": ");
    fflush(to);
}

/* A line without the blanks around it; NULL: the input has ended, or errno
 * says why it cannot be read. */
static char *
read_answer(FILE *from)
{
    char *line = NULL;
    size_t room = 0;
    ssize_t length;

    errno = 0;
    length = getline(&line, &room, from);
    if (length < 0) {
        const int why = errno;

        free(line);
        errno = why;
        return NULL;
    }
    for (ssize_t i = 0; i < length; i++)
        if (line[i] == '\0') /* it would hide what follows */
            line[i] = '?';
    while (length > 0 && strchr(BLANKS, line[length - 1]))
        length--;
    line[length] = '\0';
    memmove(line, line + strspn(line, BLANKS),
            (size_t)length - strspn(line, BLANKS) + 1);
    return line;
}

/* Whether an answer can be taken; if not, it is said on `to`. */
static bool
fits(const struct question *question, const char *answer, FILE *to)
{
    fc_diagnostics *why = NULL;
    bool fits;

    if (!*answer && question->needed) {
        fputs("  This one is needed.\n", to);
        return false;
    }
    if (!question->check || !*answer)
        return true;
    why = fc_diagnostics_new();
    fits = why && question->check(question, answer, why);
    for (size_t i = 0; !fits && i < fc_diagnostics_count(why); i++) {
        fputs("  ", to);
        fc_text_put(fc_diagnostics_at(why, i).text, to);
        fputc('\n', to);
    }
    if (!fits && fc_diagnostics_count(why) == 0)
        fputs("  This cannot be taken.\n", to);
    fc_diagnostics_free(why);
    return fits;
}

/* Ask until the answer can be taken; NULL as of read_answer(). */
static char *
ask_one(const struct question *question, FILE *from, FILE *to)
{
    char *answer = NULL;

    do {
        free(answer);
        put_question(question, to);
        answer = read_answer(from);
    } while (answer && !fits(question, answer, to));
    return answer;
}

bool
ask(const struct question *questions, size_t n, char **answers, FILE *from,
    FILE *to)
{
    bool ended = false;

    for (size_t i = 0; i < n; i++)
        answers[i] = NULL;
    fputs("Leave empty what is not known; Ctrl-D ends the questions.\n", to);
    for (size_t i = 0; i < n && !ended; i++) {
        answers[i] = ask_one(&questions[i], from, to);
        ended = answers[i] == NULL;
        if (ended && errno != 0 && !feof(from)) {
            complain("the answer cannot be read: %s", strerror(errno));
            ask_free(answers, n);
            return false;
        }
        if (answers[i] && !*answers[i]) {
            free(answers[i]);
            answers[i] = NULL;
        }
    }
    fputs(ended ? "\n\n" : "\n", to);
    return true;
}

/* "stories=8"; NULL when out of memory. */
static char *
operand_of(const char *key, const char *answer)
{
    const size_t size = strlen(key) + strlen(answer) + 2;
    char *operand = malloc(size);

    if (operand)
        snprintf(operand, size, "%s=%s", key, answer);
    return operand;
}

char **
ask_operands(const struct question *questions, size_t n, size_t *given)
{
    char **operands = calloc(n, sizeof *operands);
    bool room = operands != NULL;
    size_t i;

    *given = 0;
    if (room && !ask(questions, n, operands, stdin, stderr)) {
        free(operands);
        return NULL;
    }
    for (i = 0; room && i < n; i++) {
        char *answer = operands[i];

        operands[i] = NULL;
        if (!answer)
            continue;
        operands[*given] = operand_of(questions[i].key, answer);
        free(answer);
        room = operands[*given] != NULL;
        *given += room;
    }
    if (room)
        return operands;
    complain_memory();
    if (operands)
        ask_free(operands, n);
    free(operands);
    return NULL;
}
