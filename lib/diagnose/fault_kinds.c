/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/fault_kinds.c -- the kinds of fault there are. */
#include "diagnose/fault_kinds.h"

/* In the order in which candidates are listed, and named of a stretch. */
const struct fci_fault_kind *const fci_fault_kinds[] = {
    &fci_running_outlet,  &fci_supply_pressure, &fci_supply_sag,
    &fci_reducer_setting, &fci_pump_off,        &fci_pump_weak,
    &fci_stop_throttled,  &fci_valve_rate,      &fci_blocked,
    &fci_pipe_roughness,  &fci_smaller_size,    &fci_larger_size,
    &fci_height,          &fci_holds_back,      &fci_loses_less,
    &fci_gauge_off,       &fci_wrong_reading,   &fci_changed,
    &fci_valve_volume,    &fci_prv_not_listed,  NULL,
};

const char *
fc_fault_word(fc_cause_kind kind)
{
    return (size_t)kind < FCI_FAULTS ? fci_fault_names[kind] : NULL;
}
