/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/foreign_locales.h -- locales with another decimal point, built
 * where none is installed, in a folder that mkdtemp() makes of its template.
 */
#ifndef TESTS_UNIT_FOREIGN_LOCALES_H
#define TESTS_UNIT_FOREIGN_LOCALES_H

#include <check.h>
#include <locale.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

/* Locales whose decimal point is a comma and, in two bytes, U+066B; the
 * latter is made up, as no two systems agree on where it is in use. */
static struct {
    const char *source, *name, *point;
    bool built; /* here, for want of an installed one */
} foreign[] = {
    { "de_DE", "de_DE.UTF-8", ",", false },
    { NULL, "xx_XX.UTF-8", "\xD9\xAB", false },
};

static char locales_folder[] = "/tmp/flushcalc-locales.XXXXXX";

static inline bool
set_locale(int i)
{
    if (foreign[i].built)
        setenv("LOCPATH", locales_folder, 1);
    else
        unsetenv("LOCPATH");
    return setlocale(LC_NUMERIC, foreign[i].name) != NULL;
}

static inline bool
write_source(const char *path)
{
    FILE *file = fopen(path, "w");

    if (!file)
        return false;
    fputs("LC_CTYPE\ncopy \"i18n\"\nEND LC_CTYPE\n"
          "LC_NUMERIC\ndecimal_point \"<U066B>\"\n"
          "thousands_sep \"\"\ngrouping -1\nEND LC_NUMERIC\n",
          file);
    return fclose(file) == 0;
}

/* Locales are seldom installed where tests run, but their sources are. */
static inline bool
build_locale(int i)
{
    char path[64], source[64];
    int status;
    pid_t child;

    snprintf(path, sizeof path, "%s/%s", locales_folder, foreign[i].name);
    snprintf(source, sizeof source, "%s/source", locales_folder);
    if (foreign[i].source)
        snprintf(source, sizeof source, "%s", foreign[i].source);
    else if (!write_source(source))
        return false;
    child = fork();
    if (child == 0) {
        if (freopen("/dev/null", "w", stdout)
            && freopen("/dev/null", "w", stderr))
            execlp("localedef", "localedef", "-c", "-i", source, "-f", "UTF-8",
                   path, (char *)NULL);
        _exit(127);
    }
    foreign[i].built = true;
    return child > 0 && waitpid(child, &status, 0) == child
           && WIFEXITED(status) && set_locale(i);
}

static inline bool
has_locale(int i)
{
    const bool found = set_locale(i) || build_locale(i);
    const bool foreign_point =
        found && strcmp(localeconv()->decimal_point, foreign[i].point) == 0;

    setlocale(LC_NUMERIC, "C");
    if (!foreign_point)
        fprintf(stderr, "skipped: figures in locale %s: there is none\n",
                foreign[i].name);
    return foreign_point;
}

static inline void
remove_locales(void)
{
    const pid_t child = fork();

    if (child == 0) {
        execlp("rm", "rm", "-rf", locales_folder, (char *)NULL);
        _exit(127);
    }
    if (child > 0)
        waitpid(child, NULL, 0);
}

static inline void
enter(int i)
{
    char half[16];

    ck_assert(set_locale(i));
    snprintf(half, sizeof half, "%.1f", 0.5);
    ck_assert_str_ne(half, "0.5"); /* else nothing is tried */
}

static inline void
enter_first(void)
{
    enter(0);
}

static inline void
enter_second(void)
{
    enter(1);
}

static inline void
leave(void)
{
    setlocale(LC_NUMERIC, "C");
}

#endif
