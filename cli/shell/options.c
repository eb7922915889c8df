/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/shell/options.c -- what the command line asks for. */
#include "shell/options.h"
#include "shell/nearest.h"
#include "shell/complain.h"
#include "shell/output.h"

#include <errno.h>
#include <getopt.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <unistd.h>

/* getopt_long() returns the place in this list, counted from here. */
#define FIRST_OPTION 1000

#define LARGEST_SEED 4294967295u /* an unsigned long may hold no more */
#define MOST_THREADS 1024u       /* more are a slip of the hand */
#define MOST_PICK 1000000u

/* The words that an option takes. */
static const char *const formats[] = { "text", "html", "csv", "json", NULL };
/* Of a file in each of them. */
static const char *const endings[] = { ".txt", ".html", ".csv", ".json",
                                       NULL };
static const char *const unit_systems[] = { "us", "si", NULL };
static const char *const states[] = { "existing", "retrofit", NULL };
static const char *const symptoms[] = { "short", "weak",   "long", "runs on",
                                        "noise", "splash", NULL };

/* As the bits stand. */
const struct option_row option_rows[N_OPTIONS] = {
    { "format", 0, NULL, formats, "the form of the report (text)" },
    { "output", 'o', "FILE", NULL,
      "write it to FILE, all of it or nothing; without --format in the form "
      "of its ending, .txt, .html, .csv or .json" },
    { "units", 0, NULL, unit_systems,
      "in these units, not those of the site file" },
    { "state", 0, NULL, states,
      "with which valves (retrofit, where there are any)" },
    { "darcy", 0, NULL, NULL,
      "friction by Darcy-Weisbach too, for comparison" },
    { "all", 0, NULL, NULL, "every flush valve of the building at once" },
    { "seed", 0, "N", NULL, "sample at random from this seed" },
    { "threads", 0, "N", NULL,
      "use N threads (one for each processor); the result does not depend on "
      "it" },
    { "write", 0, "FILE", NULL,
      "write the site file with the sizes to FILE; with --remedy, with the "
      "option picked" },
    { "remedy", 0, NULL, NULL, "what fixes the building" },
    { "pick", 0, "N", NULL,
      "write the option with this number in the report" },
    { "record", 0, NULL, NULL,
      "an inspection record to sign, in place of the report" },
    { "symptom", 0, NULL, symptoms,
      "also list causes that no gauge shows, the easiest first" },
    { "sheet", 0, NULL, NULL,
      "a field sheet to fill in, in place of the report" },
    { "full", 0, NULL, NULL, "all tables, not one screen" },
    { "table", 0, "NAME", NULL,
      "with --format csv: which table (the first); an unknown NAME lists "
      "them" },
    { "help", 'h', NULL, NULL, "print this help" },
    { "version", 'V', NULL, NULL, "print the version and the license" },
    { "schema", 0, NULL, NULL, "print the JSON Schema of the reports" },
    { "set", 0, "NAME.KEY=VALUE", NULL,
      "with this value in place of the file's; may be repeated" },
    { "sweep", 0, "NAME.KEY=FROM..TO[/STEPS]", NULL,
      "a row for each of these values (10 steps), and where the verdict "
      "flips" },
};

bool
option_takes_value(const struct option_row *row)
{
    return row->takes || row->words;
}

static int
place_in(const char *const *words, const char *word)
{
    for (int i = 0; words[i]; i++)
        if (strcmp(words[i], word) == 0)
            return i;
    return -1;
}

static size_t
count_of(const char *const *words)
{
    size_t n = 0;

    while (words[n])
        n++;
    return n;
}

static const char *
nearest_in(const char *const *words, const char *word)
{
    struct nearest nearest = { word, NULL, 0 };

    for (int i = 0; words[i]; i++)
        nearest_try(&nearest, words[i]);
    return nearest.best;
}

/* The place of an option's value among its words; -1, and said. */
static int
value_place(const char *option, const char *value, const char *const *words)
{
    int place = place_in(words, value);
    const char *near = nearest_in(words, value);
    char list[80];

    if (place >= 0)
        return place;
    words_join(list, sizeof list, words, count_of(words), "", " or ");
    if (near)
        complain("--%s \"%s\" is not known; did you mean \"%s\"? It is %s",
                 option, value, near, list);
    else
        complain("--%s \"%s\" is not known; it is %s", option, value, list);
    return -1;
}

/* The words stand as the library counts the forms. */
static bool
read_format(struct options *options, const char *value)
{
    const int place = value_place("format", value, formats);

    options->format = place < 0 ? FC_TEXT : (fc_form)place;
    return place >= 0;
}

/* The form that the ending of a file's name tells; text for any other. */
static fc_form
form_of_name(const char *name)
{
    const char *end = strrchr(name, '.');

    for (int i = 0; end && endings[i]; i++)
        if (strcasecmp(end, endings[i]) == 0)
            return (fc_form)i;
    return FC_TEXT;
}

/* A whole number from 1 to `most`; 0, and said, for anything else. */
static unsigned long
read_number(const char *option, const char *value, unsigned long most)
{
    unsigned long number = 0;

    if (*value && strspn(value, "0123456789") == strlen(value)) {
        errno = 0;
        number = strtoul(value, NULL, 10);
        if (errno != 0 || number > most)
            number = 0;
    }
    if (number == 0)
        complain("--%s \"%s\" is not a whole number from 1 to %lu", option,
                 value, most);
    return number;
}

static bool
read_value(struct options *options, unsigned option, const char *value)
{
    int place;

    switch (option) {
    case OPTION_FORMAT:
        return read_format(options, value);
    case OPTION_OUTPUT:
        if (!*value)
            complain("--output needs the name of a file");
        options->output = strcmp(value, "-") == 0 ? NULL : value;
        return *value != '\0';
    case OPTION_UNITS:
        place = value_place("units", value, unit_systems);
        options->units = place == 1 ? FC_SI : FC_US;
        return place >= 0;
    case OPTION_STATE:
        place = value_place("state", value, states);
        options->state = place == 1 ? FC_RETROFIT : FC_EXISTING;
        return place >= 0;
    case OPTION_SYMPTOM: /* the words stand as the library counts them */
        place = value_place("symptom", value, symptoms);
        options->symptom = (fc_symptom)(place + 1);
        return place >= 0;
    case OPTION_SEED:
        options->seed = read_number("seed", value, LARGEST_SEED);
        return options->seed > 0;
    case OPTION_THREADS:
        options->threads =
            (unsigned)read_number("threads", value, MOST_THREADS);
        return options->threads > 0;
    case OPTION_PICK:
        options->pick = read_number("pick", value, MOST_PICK);
        return options->pick > 0;
    case OPTION_TABLE:
        options->table = value;
        return true;
    case OPTION_SWEEP:
        options->sweep = value;
        return true;
    case OPTION_WRITE:
        options->write = value;
        if (!*value || strcmp(value, "-") == 0)
            complain("--write needs the name of a file");
        return *value && strcmp(value, "-") != 0;
    default:
        return true;
    }
}

/* Whether an option written so could be several; if it could, it is said. */
static bool
complain_ambiguous(const char *name)
{
    const char *names[N_OPTIONS];
    char list[256];
    size_t n;

    for (size_t i = 0; i < N_OPTIONS; i++)
        names[i] = option_rows[i].name;
    n = words_begun(name + 2, names, N_OPTIONS);
    words_join(list, sizeof list, names, n, "--", " or ");
    if (n > 1)
        complain("%s could be %s; see flushcalc --help", name, list);
    return n > 1;
}

static void
complain_unknown_option(const char *word)
{
    char name[64];
    struct nearest nearest = { name, NULL, 0 };
    size_t length = strcspn(word, "=");

    if (length >= sizeof name)
        length = sizeof name - 1;
    memcpy(name, word, length);
    name[length] = '\0';
    if (strncmp(name, "--", 2) == 0) {
        if (complain_ambiguous(name))
            return;
        nearest.word = name + 2;
        for (size_t i = 0; i < N_OPTIONS; i++)
            nearest_try(&nearest, option_rows[i].name);
    }
    if (nearest.best)
        complain("there is no option %s; did you mean --%s?", name,
                 nearest.best);
    else
        complain("there is no option %s; see flushcalc --help", name);
}

/* The place of what getopt_long() returns, a letter or a place; N_OPTIONS: it
 * is neither. */
static size_t
place_of(int code)
{
    size_t place = 0;

    if (code >= FIRST_OPTION)
        return (size_t)(code - FIRST_OPTION);
    while (place < N_OPTIONS
           && (code == 0 || option_rows[place].letter != code))
        place++;
    return place;
}

/* What getopt_long() did not take; `word` is the argument it stood in. */
static void
complain_option(int code, const char *word)
{
    const size_t place = place_of(optopt);

    if (place < N_OPTIONS) {
        const char *name = option_rows[place].name;

        if (code == ':')
            complain("--%s needs a value", name);
        else
            complain("--%s takes no value", name);
    } else if (optopt > ' ' && optopt < 127) {
        complain("there is no option -%c; see flushcalc --help", optopt);
    } else {
        complain_unknown_option(word);
    }
}

static bool
take_option(struct options *options, size_t place)
{
    const unsigned option = 1u << place;

    if (options->given & option && !(option & OPTION_REPEATS)) {
        complain("--%s is given twice", option_rows[place].name);
        return false;
    }
    options->given |= option;
    return true;
}

static void
take_word(struct options *options, const char *word)
{
    if (!options->command)
        options->command = word;
    else
        options->operands[options->n_operands++] = word;
}

static void
list_long_options(struct option list[N_OPTIONS + 1])
{
    memset(list, 0, (N_OPTIONS + 1) * sizeof *list);
    for (int i = 0; i < N_OPTIONS; i++) {
        list[i].name = option_rows[i].name;
        list[i].has_arg = option_takes_value(&option_rows[i])
                              ? required_argument
                              : no_argument;
        list[i].val = FIRST_OPTION + i;
    }
}

/* "-": words come in their order, wherever options stand; ":": a value that
 * is missing is told from an option that is unknown. */
static void
list_letters(char list[2 + 2 * N_OPTIONS + 1])
{
    *list++ = '-';
    *list++ = ':';
    for (size_t i = 0; i < N_OPTIONS; i++) {
        if (!option_rows[i].letter)
            continue;
        *list++ = option_rows[i].letter;
        if (option_takes_value(&option_rows[i]))
            *list++ = ':';
    }
    *list = '\0';
}

/* First pass: words and options in their order.  The values are read once
 * the command is known, since it may stand behind them. */
static bool
sort_words(struct options *options, const char **values, int argc, char **argv)
{
    struct option long_options[N_OPTIONS + 1];
    char letters[2 + 2 * N_OPTIONS + 1];
    int code;

    list_long_options(long_options);
    list_letters(letters);
    opterr = 0;
    optind = 1;
    for (;;) {
        const char *word = optind < argc ? argv[optind] : "";
        size_t place;

        code = getopt_long(argc, argv, letters, long_options, NULL);
        if (code == -1)
            break;
        place = place_of(code);
        if (code == 1) {
            take_word(options, optarg);
        } else if (place == N_OPTIONS) {
            complain_option(code, word);
            return false;
        } else {
            if (!take_option(options, place))
                return false;
            if (1u << place & OPTION_REPEATS)
                options->set[options->n_set++] = optarg;
            else
                values[place] = optarg;
        }
    }
    for (int i = optind; i < argc; i++)
        take_word(options, argv[i]);
    return true;
}

bool
options_read(struct options *options, int argc, char **argv)
{
    const char *values[N_OPTIONS] = { NULL };

    memset(options, 0, sizeof *options);
    options->words = calloc((size_t)argc + 1, sizeof *options->words);
    options->set = calloc((size_t)argc + 1, sizeof *options->set);
    if (!options->words || !options->set) {
        complain_memory();
        return false;
    }
    options->argv = argv;
    options->operands = options->words;
    if (!sort_words(options, values, argc, argv))
        return false;
    for (size_t i = 0; i < N_OPTIONS; i++)
        if (values[i] && !read_value(options, 1u << i, values[i]))
            return false;
    if (options->output && !(options->given & OPTION_FORMAT))
        options->format = form_of_name(options->output);
    return true;
}

void
options_free(struct options *options)
{
    free(options->words);
    free(options->set);
}

bool
options_fit(const struct options *options, unsigned allowed)
{
    for (size_t i = 0; i < N_OPTIONS; i++) {
        if (!(options->given & ~allowed & 1u << i))
            continue;
        complain("%s takes no --%s; see flushcalc %s --help", options->command,
                 option_rows[i].name, options->command);
        return false;
    }
    return true;
}

/* ---- Help ------------------------------------------------------------- */

#define HELP_COLUMN 22
#define HELP_WIDTH 79 /* at most */

/* "  --units us|si", and how wide that is. */
static size_t
write_option(const struct option_row *row, FILE *out)
{
    int width = 0;

    if (row->letter)
        width = fprintf(out, "  -%c, --%s", row->letter, row->name);
    else
        width = fprintf(out, "  --%s", row->name);
    if (row->takes)
        width += fprintf(out, " %s", row->takes);
    for (int i = 0; row->words && row->words[i]; i++) {
        const char *quote = strchr(row->words[i], ' ') ? "'" : "";

        width += fprintf(out, "%s%s%s%s", i == 0 ? " " : "|", quote,
                         row->words[i], quote);
    }
    return (size_t)width;
}

/* No wider than the terminal that the program writes to. */
static size_t
help_width(void)
{
    const unsigned columns = isatty(STDOUT_FILENO) ? terminal_columns() : 0;

    return columns > 0 && columns < HELP_WIDTH ? columns : HELP_WIDTH;
}

/* Wrapped, in the columns from `left` on. */
static void
write_wrapped(const char *text, size_t n, size_t left, FILE *out)
{
    const char *end = text + n;
    const size_t width = help_width();
    size_t column = left;

    while (text < end) {
        size_t bytes = strcspn(text, " \n");

        if (text + bytes > end)
            bytes = (size_t)(end - text);
        if (column > left && column + 1 + bytes > width) {
            fprintf(out, "\n%*s", (int)left, "");
            column = left;
        } else if (column > left) {
            fputc(' ', out);
            column++;
        }
        fprintf(out, "%.*s", (int)bytes, text);
        column += bytes;
        text += bytes;
        text += strspn(text, " \n");
    }
    fputc('\n', out);
}

/* The bytes of the line at `text` that are to be wrapped with those behind:
 * up to an empty line, or one that begins with a blank. */
static size_t
paragraph_at(const char *text)
{
    size_t n = strcspn(text, "\n");

    while (text[n] && text[n + 1] && !strchr(" \n", text[n + 1]))
        n += 1 + strcspn(text + n + 1, "\n");
    return n;
}

/* As it is where it fits; else wrapped below where its last column, or it,
 * begins. */
static void
write_set_line(const char *text, size_t n, FILE *out)
{
    size_t left = strspn(text, " ");

    for (size_t i = left; i + 2 < n; i++)
        if (strncmp(text + i, "  ", 2) == 0 && i + 2 < help_width() / 2)
            left = i + strspn(text + i, " ");
    if (n <= help_width() || left >= n) {
        fprintf(out, "%.*s\n", (int)n, text);
        return;
    }
    fprintf(out, "%.*s", (int)left, text);
    write_wrapped(text + left, n - left, left, out);
}

void
options_text(const char *text, FILE *out)
{
    while (*text) {
        const size_t line = strcspn(text, "\n");
        const bool as_is = line == 0 || *text == ' ';
        const size_t n = as_is ? line : paragraph_at(text);

        if (as_is)
            write_set_line(text, n, out);
        else
            write_wrapped(text, n, 0, out);
        text += n + (text[n] == '\n');
    }
}

void
options_help(unsigned allowed, const struct option_help *own, FILE *out)
{
    for (size_t i = 0; i < N_OPTIONS; i++) {
        const char *help;
        size_t width;

        if (!(allowed & 1u << i))
            continue;
        width = write_option(&option_rows[i], out);
        if (width + 2 > HELP_COLUMN) {
            fputc('\n', out);
            width = 0;
        }
        fprintf(out, "%*s", (int)(HELP_COLUMN - width), "");
        help = own && own->option == 1u << i ? own->help : option_rows[i].help;
        write_wrapped(help, strlen(help), HELP_COLUMN, out);
    }
}
