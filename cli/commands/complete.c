/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/commands/complete.c -- what a shell may make of a word half typed.
 *
 * The scripts of cli/completion/ hand over the words of the command line. bash
 * parts "--units=us" into three words, zsh does not.
 */
#include "commands/complete.h"
#include "shell/complain.h"
#include "shell/output.h"

#include <stdlib.h>
#include <string.h>

struct completion {
    const char *begun; /* the word half typed */
    FILE *out;
};

/* What the words before it tell. */
struct before {
    const struct command *command; /* NULL: none yet */
    const char **operands;         /* to be freed */
    size_t n_operands;
    unsigned given;                 /* options */
    const struct option_row *value; /* the word is this one's value */
    bool ended;                     /* by "--": no options follow */
};

void
complete_offer(const struct completion *to, const char *word)
{
    if (strncmp(word, to->begun, strlen(to->begun)) != 0)
        return;
    fc_text_put(word, to->out);
    fputc('\n', to->out);
}

/* ---- What stands before ----------------------------------------------- */

static const struct command *
command_named(const struct command *const *commands, size_t n,
              const char *name)
{
    for (size_t i = 0; i < n; i++)
        if (strcmp(commands[i]->name, name) == 0)
            return commands[i];
    return NULL;
}

/* Whether a word is one option by its letter or several, not by its name. */
static bool
is_by_letter(const char *word)
{
    return word[0] == '-' && word[1] && word[1] != '-';
}

/* The place of an option written as "--name", "--name=value" or by its letter;
 * N_OPTIONS: none is called so. */
static size_t
option_named(const char *word)
{
    const bool letter = is_by_letter(word);
    const size_t length = letter ? 0 : strcspn(word + 2, "=");

    for (size_t i = 0; i < N_OPTIONS; i++)
        if (letter
                ? option_rows[i].letter == word[1]
                : strlen(option_rows[i].name) == length
                      && strncmp(option_rows[i].name, word + 2, length) == 0)
            return i;
    return N_OPTIONS;
}

/* An option; how many of the words that follow are its value. */
static size_t
take_option(struct before *before, char *const *words, size_t n)
{
    const size_t place = option_named(words[0]);
    const struct option_row *row;
    size_t value;

    if (place == N_OPTIONS)
        return 0;
    row = &option_rows[place];
    before->given |= 1u << place;
    if (!option_takes_value(row)
        || (is_by_letter(words[0]) ? words[0][2] != '\0'
                                   : strchr(words[0], '=') != NULL))
        return 0;
    value = n > 2 && strcmp(words[1], "=") == 0 ? 2 : 1;
    if (value == n - 1)
        before->value = row;
    return value;
}

/* All words but the last; false: out of memory. */
static bool
look_before(struct before *before, const struct command *const *commands,
            size_t n_commands, char *const *words, size_t n)
{
    before->operands = calloc(n + 1, sizeof *before->operands);
    if (!before->operands)
        return false;
    for (size_t i = 0; i + 1 < n; i++) {
        if (!before->ended && strcmp(words[i], "--") == 0)
            before->ended = true;
        else if (!before->ended
                 && (is_by_letter(words[i])
                     || strncmp(words[i], "--", 2) == 0))
            i += take_option(before, words + i, n - i);
        else if (!before->command)
            before->command = command_named(commands, n_commands, words[i]);
        else
            before->operands[before->n_operands++] = words[i];
    }
    return true;
}

/* ---- What may follow -------------------------------------------------- */

static void
offer_values(const struct completion *to, const struct option_row *row,
             const char *prefix)
{
    char word[80];

    for (int i = 0; row->words && row->words[i]; i++) {
        snprintf(word, sizeof word, "%s%s", prefix, row->words[i]);
        complete_offer(to, word);
    }
}

static void
offer_options(const struct completion *to, const struct before *before)
{
    const unsigned allowed = before->command
                                 ? before->command->options | OPTION_HELP
                                 : OPTION_ANYWHERE;
    char word[80];

    for (size_t i = 0; i < N_OPTIONS; i++) {
        if (!(allowed & ~before->given & 1u << i))
            continue;
        snprintf(word, sizeof word, "--%s", option_rows[i].name);
        complete_offer(to, word);
    }
}

/* "--units=u" as one word. */
static void
offer_joined(const struct completion *to)
{
    const size_t place = option_named(to->begun);
    char prefix[40];

    if (place == N_OPTIONS)
        return;
    snprintf(prefix, sizeof prefix, "--%s=", option_rows[place].name);
    offer_values(to, &option_rows[place], prefix);
}

static void
offer(const struct completion *to, const struct before *before,
      const struct command *const *commands, size_t n_commands)
{
    const struct completion fresh = { "", to->out };

    if (before->value) /* "=" alone: the value is yet to begin */
        offer_values(strcmp(to->begun, "=") == 0 ? &fresh : to, before->value,
                     "");
    else if (!before->ended && strncmp(to->begun, "--", 2) == 0
             && strchr(to->begun, '='))
        offer_joined(to);
    else if (!before->ended && *to->begun == '-')
        offer_options(to, before);
    else if (before->command && before->command->offer)
        before->command->offer(before->operands, before->n_operands, to);
    for (size_t i = 0; !before->value && !before->command && i < n_commands;
         i++)
        complete_offer(to, commands[i]->name);
}

void
complete_fixtures(const char *const *operands, size_t n,
                  const struct completion *to)
{
    fc_site *site = NULL;

    if (n == 0 || strcmp(operands[0], "-") == 0
        || fc_site_read(operands[0], &site, NULL) != FC_OK)
        return;
    for (size_t i = 0; i < fc_site_count(site); i++) {
        const fc_site_part part = fc_site_part_at(site, i);
        size_t k = 1;

        while (k < n && strcmp(operands[k], part.name) != 0)
            k++;
        if (k == n && strcmp(part.kind, "fixture") == 0)
            complete_offer(to, part.name);
    }
    fc_site_free(site);
}

int
complete_words(const struct command *const *commands, size_t n_commands,
               char *const *words, size_t n)
{
    struct before before = { 0 };
    struct completion to = { n > 0 ? words[n - 1] : "", stdout };
    const bool done = look_before(&before, commands, n_commands, words, n);

    if (done)
        offer(&to, &before, commands, n_commands);
    else
        complain_memory();
    free(before.operands);
    return done && output_printed() ? STATUS_WORKS : STATUS_TROUBLE;
}
