/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/variants/change_list.h -- a list of changes under construction. */
#ifndef FCI_VARIANTS_CHANGE_LIST_H
#define FCI_VARIANTS_CHANGE_LIST_H

#include "variants/change.h"

/* Start from { 0 }.  The strings are borrowed. */
struct fci_change_list {
    struct fci_change *changes;
    size_t n, room;
};

/* False when out of memory. */
bool fci_change_add(struct fci_change_list *list, enum fci_kind kind,
                    const char *name, const char *key, const char *value);
void fci_change_list_free(struct fci_change_list *list);

#endif
