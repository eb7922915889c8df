/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/fuzz/drive.c -- runs a target on inputs that are drawn from a seed.
 *
 *     tests/fuzz/drive TARGET [--seed N] [--runs N | --seconds N]
 *                      [--save FOLDER]
 *     tests/fuzz/drive TARGET FILE...
 *
 * TARGET may be `all`; `targets` lists them.  The same seed and number of runs
 * give the same inputs. An input of which something does not hold, that
 * crashes, or takes longer than it may, is saved as FOLDER/TARGET-SEED-RUN.ini
 * (default: here).  With files it runs those, and asks every oracle.
 *
 * Built with -DFUZZ_LIBFUZZER it is one for libFuzzer, of the target that the
 * environment variable FUZZ_TARGET names.
 */
#include "fuzz/fuzz.h"

#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/time.h>
#include <time.h>
#include <unistd.h>

#ifdef FUZZ_LIBFUZZER

/* ---- For libFuzzer ----------------------------------------------------- */

int LLVMFuzzerInitialize(int *argc, char ***argv);
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);
size_t LLVMFuzzerCustomMutator(uint8_t *data, size_t size, size_t most,
                               unsigned seed);

static const struct fuzz_target *target;

int
LLVMFuzzerInitialize(int *argc, char ***argv)
{
    const char *name = getenv("FUZZ_TARGET");
    const struct fuzz_seed *seeds;

    (void)argc;
    (void)argv;
    target = fuzz_target_named(name ? name : "site");
    if (!target) {
        fprintf(stderr, "FUZZ_TARGET names no target\n");
        exit(2);
    }
    fuzz_seeds(target, &seeds);
    return 0;
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    const char *broken = fuzz_run(target, data, size);

    if (broken) {
        fprintf(stderr, "does not hold: %s\n", broken);
        abort();
    }
    return 0;
}

size_t
LLVMFuzzerCustomMutator(uint8_t *data, size_t size, size_t most, unsigned seed)
{
    return fuzz_mutate(data, size, most, target->block, seed);
}

#else

/* ---- What is running --------------------------------------------------- */

static uint8_t now[FUZZ_LARGEST + 1];
static size_t now_size;
static char now_path[1000];

static void
save_now(void)
{
    const int file = open(now_path, O_WRONLY | O_CREAT | O_TRUNC, 0644);

    if (file < 0)
        return;
    if (write(file, now, now_size) != (ssize_t)now_size)
        now_path[0] = '\0';
    close(file);
}

static void
say(const char *text)
{
    if (write(STDERR_FILENO, text, strlen(text)) < 0)
        _exit(2);
}

static void
stop(int signal)
{
    save_now();
    say(signal == SIGPROF ? "takes too long: " : "crashes: ");
    say(now_path);
    say("\n");
    _exit(1);
}

/* Of the sanitizers, where there is one. */
void __sanitizer_set_death_callback(void (*callback)(void))
    __attribute__((weak));

/* The processor time that a run may take [s]; sanitizers take several times as
 * long. */
static long
longest(void)
{
    return __sanitizer_set_death_callback ? 60 : 10;
}

static void
watch(void)
{
    static const int signals[] = { SIGPROF, SIGSEGV, SIGFPE,
                                   SIGABRT, SIGBUS,  SIGILL };

    for (size_t i = 0; i < sizeof signals / sizeof *signals; i++)
        if (i == 0 || !__sanitizer_set_death_callback)
            signal(signals[i], stop);
    if (__sanitizer_set_death_callback)
        __sanitizer_set_death_callback(save_now);
}

static const char *
run_now(const struct fuzz_target *target)
{
    struct itimerval limit = { .it_value.tv_sec = longest() };
    const struct itimerval none = { .it_value.tv_sec = 0 };
    const char *broken;

    setitimer(ITIMER_PROF, &limit, NULL);
    broken = fuzz_run(target, now, now_size);
    setitimer(ITIMER_PROF, &none, NULL);
    return broken;
}

/* ---- From a seed ------------------------------------------------------- */

struct wanted {
    unsigned long long seed;
    unsigned long runs; /* 0: as many as fit into the */
    double seconds;
    const char *folder;
};

struct tally {
    unsigned long runs, accepted, broken;
    const char *what[200]; /* each that does not hold, once */
    size_t n;
};

static double
seconds(void)
{
    struct timespec at;

    clock_gettime(CLOCK_MONOTONIC, &at);
    return (double)at.tv_sec + 1e-9 * (double)at.tv_nsec;
}

static void
tell_broken(struct tally *tally, const char *broken)
{
    tally->broken++;
    for (size_t i = 0; i < tally->n; i++)
        if (strcmp(tally->what[i], broken) == 0)
            return;
    save_now();
    fprintf(stderr, "%s: does not hold: %s\n", now_path, broken);
    if (tally->n < sizeof tally->what / sizeof *tally->what)
        tally->what[tally->n++] = broken;
}

static int
run_target(const struct fuzz_target *target, const struct wanted *wanted)
{
    struct tally tally = { 0 };
    const double begun = seconds();
    double took = 0;

    if (!fuzz_begin(target, wanted->seed)) {
        fprintf(stderr, "%s: there are no seeds; srcdir?\n", target->name);
        return 2;
    }
    while (wanted->runs ? tally.runs < wanted->runs : took < wanted->seconds) {
        const char *broken;

        now_size = fuzz_next(target, now);
        snprintf(now_path, sizeof now_path, "%s/%s-%llu-%lu.ini",
                 wanted->folder, target->name, wanted->seed, tally.runs);
        broken = run_now(target);
        tally.runs++;
        tally.accepted += fuzz_outcome.accepted;
        if (broken)
            tell_broken(&tally, broken);
        else if (fuzz_outcome.accepted)
            fuzz_keep(now, now_size);
        took = seconds() - begun;
    }
    printf("%s: %lu inputs, %lu of them accepted, in %.1f s (%.0f a second); "
           "%lu of which something does not hold\n",
           target->name, tally.runs, tally.accepted, took,
           (double)tally.runs / took, tally.broken);
    return tally.broken > 0;
}

/* ---- Files ------------------------------------------------------------- */

static int
run_file(const struct fuzz_target *target, const char *path)
{
    FILE *file = fopen(path, "rb");
    const char *broken;

    if (!file) {
        perror(path);
        return 2;
    }
    now_size = fread(now, 1, FUZZ_LARGEST, file);
    fclose(file);
    fuzz_thorough = true;
    broken = run_now(target);
    printf("%s: %s%s\n", path, broken ? "does not hold: " : "",
           broken                  ? broken
           : fuzz_outcome.accepted ? "accepted"
                                   : "refused");
    return broken != NULL;
}

/* ---- The whole --------------------------------------------------------- */

static bool
take_option(struct wanted *wanted, const char *option, const char *value)
{
    if (strcmp(option, "--seed") == 0)
        wanted->seed = strtoull(value, NULL, 10);
    else if (strcmp(option, "--runs") == 0)
        wanted->runs = strtoul(value, NULL, 10);
    else if (strcmp(option, "--seconds") == 0)
        wanted->seconds = strtod(value, NULL);
    else if (strcmp(option, "--save") == 0)
        wanted->folder = value;
    else
        return false;
    return true;
}

static int
list_targets(void)
{
    for (size_t i = 0; i < fuzz_n_targets; i++)
        puts(fuzz_targets[i].name);
    return 0;
}

int
main(int argc, char **argv)
{
    struct wanted wanted = { .seed = 1, .seconds = 10, .folder = "." };
    const struct fuzz_target *target;
    int i, bad = 0;

    for (i = 2; i + 1 < argc && take_option(&wanted, argv[i], argv[i + 1]);
         i += 2)
        continue;
    if (argc == 2 && strcmp(argv[1], "targets") == 0)
        return list_targets();
    target = argc > 1 ? fuzz_target_named(argv[1]) : NULL;
    if (argc < 2 || (!target && strcmp(argv[1], "all") != 0)) {
        fputs("usage: tests/fuzz/drive TARGET|all [--seed N] [--runs N]"
              " [--seconds N] [--save FOLDER] [FILE...]\n",
              stderr);
        return 2;
    }
    now_path[0] = '\0';
    watch();
    if (target && i < argc) {
        for (; i < argc; i++) {
            snprintf(now_path, sizeof now_path, "%s.again", argv[i]);
            bad |= run_file(target, argv[i]);
        }
        return bad;
    }
    for (size_t k = 0; k < fuzz_n_targets; k++)
        if (!target || target == &fuzz_targets[k])
            bad |= run_target(&fuzz_targets[k], &wanted);
    return bad;
}

#endif
