/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/variants/change_list.c -- a list of changes under construction. */
#include "variants/change_list.h"

#include <stdlib.h>

bool
fci_change_add(struct fci_change_list *list, enum fci_kind kind,
               const char *name, const char *key, const char *value)
{
    struct fci_change *const grown =
        fci_grow(list->changes, list->n, &list->room, sizeof *list->changes);

    if (!grown)
        return false;
    list->changes = grown;
    grown[list->n++] = (struct fci_change){ kind, name, key, value };
    return true;
}

void
fci_change_list_free(struct fci_change_list *list)
{
    free(list->changes);
    *list = (struct fci_change_list){ 0 };
}
