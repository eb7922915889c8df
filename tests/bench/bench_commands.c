/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/bench/bench_commands.c -- how long whole commands take on buildings
 * that grow.
 *
 * bench_commands FLUSHCALC SITE...: check, path and flush of each site, of its
 * last fixture, each in a process of its own: processor time of all of its
 * threads, the most memory that it held, and the time against the row above.
 * A command is stopped after BENCH_SECONDS of processor time (an environment
 * variable; 900), and its row says so.
 */
#define _DEFAULT_SOURCE /* wait4 */
#include "bench/stopwatch.h"

#include <fcntl.h>
#include <signal.h>
#include <stdbool.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/time.h>
#include <sys/wait.h>
#include <unistd.h>

#define PATIENCE 900 /* s */

/* Read line by line: a process that it is copied from counts as memory of a
 * command. */
struct bench_site {
    char path[256], last[64]; /* its last fixture */
    int valves;
};

struct ran {
    double work;   /* s */
    double memory; /* MiB */
    bool stopped;
};

static struct bench_site
look_at(const char *path)
{
    struct bench_site site = { .valves = 0 };
    FILE *in = fopen(path, "r");
    char line[256];
    int count;

    if (!in)
        fail("a site cannot be read");
    snprintf(site.path, sizeof site.path, "%s", path);
    while (fgets(line, sizeof line, in)) {
        if (sscanf(line, "count = %d", &count) == 1)
            site.valves += count;
        sscanf(line, "[fixture %63[^]]", site.last);
    }
    fclose(in);
    return site;
}

static double
seconds(struct timeval t)
{
    return (double)t.tv_sec + 1e-6 * (double)t.tv_usec;
}

/* In the child. */
static void
become(char **arguments, rlim_t patience)
{
    const struct rlimit limit = { patience, patience };
    const int nowhere = open("/dev/null", O_WRONLY);

    if (nowhere < 0 || dup2(nowhere, STDOUT_FILENO) < 0
        || setrlimit(RLIMIT_CPU, &limit) != 0)
        _exit(127);
    execv(arguments[0], arguments);
    _exit(127);
}

static struct ran
run(char **arguments, rlim_t patience)
{
    struct ran ran = { 0 };
    struct rusage usage;
    pid_t child;
    int status;

    fflush(stdout);
    child = fork();
    if (child < 0)
        fail("no process");
    if (child == 0)
        become(arguments, patience);
    if (wait4(child, &status, 0, &usage) != child)
        fail("a command is lost");
    ran.work = seconds(usage.ru_utime) + seconds(usage.ru_stime);
    ran.memory = (double)usage.ru_maxrss / 1024;
    ran.stopped =
        WIFSIGNALED(status)
        && (WTERMSIG(status) == SIGXCPU || WTERMSIG(status) == SIGKILL);
    /* 1: the building does not work */
    if (!ran.stopped && (!WIFEXITED(status) || WEXITSTATUS(status) > 1))
        fail("a command failed");
    return ran;
}

static rlim_t
patience_asked(void)
{
    const char *text = getenv("BENCH_SECONDS");
    const long asked = text ? strtol(text, NULL, 10) : PATIENCE;

    if (asked <= 0)
        fail("BENCH_SECONDS: a number of seconds is expected");
    return (rlim_t)asked;
}

static void
print_row(const char *command, const struct bench_site *site,
          const struct ran *ran, const struct ran *before, rlim_t patience)
{
    printf("%-7s %7d", command, site->valves);
    if (ran->stopped)
        printf("   over %6.0f s", (double)patience);
    else
        printf("  %11.3f s", ran->work);
    printf("  %8.1f", ran->memory);
    if (before && !ran->stopped && !before->stopped)
        printf("  %6.2f  %6.2f", ran->work / before->work,
               ran->memory / before->memory);
    printf("\n");
}

/* One command on every site. */
static void
bench_command(char *flushcalc, char *command, char **paths, int n)
{
    const rlim_t patience = patience_asked();
    struct ran before = { 0 };
    int i;

    for (i = 0; i < n; i++) {
        struct bench_site site = look_at(paths[i]);
        char *arguments[] = { flushcalc, command, site.path, site.last, NULL };
        struct ran ran;

        if (strcmp(command, "check") == 0)
            arguments[3] = NULL;
        ran = run(arguments, patience);
        print_row(command, &site, &ran, i > 0 ? &before : NULL, patience);
        before = ran;
    }
}

int
main(int argc, char **argv)
{
    static char commands[][8] = { "check", "path", "flush" };
    size_t i;

    if (argc < 3)
        fail("flushcalc and the files of tests/bench/tower.sh are expected");
    printf("Whole commands: processor time, peak memory in MiB, both against "
           "the row above;\n"
           "stopped after BENCH_SECONDS (%d) of processor time\n"
           "command  valves           time    memory    time  memory\n",
           (int)patience_asked());
    for (i = 0; i < sizeof commands / sizeof *commands; i++)
        bench_command(argv[1], commands[i], argv + 2, argc - 2);
    return EXIT_SUCCESS;
}
