/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/odd_sites.h -- site files of invented buildings that nobody
 * would build, but that have an answer: a thousand closets behind a pipe of
 * 1/2 in, PRVs side by side of any setting behind each other.
 */
#ifndef TESTS_GENERATORS_ODD_SITES_H
#define TESTS_GENERATORS_ODD_SITES_H

#include <stddef.h>

enum odd_site { ODD_TREE, ODD_PAIRS, ODD_PAIRS_AND_LOOP, ODD_SITES };

#define ODD_TEXT 16384

/* The text of one, the same for the same seed. */
void odd_site_text(enum odd_site kind, unsigned long seed,
                   char text[ODD_TEXT]);

#endif
