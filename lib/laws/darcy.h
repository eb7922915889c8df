/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/laws/darcy.h -- Darcy-Weisbach, to set beside Hazen-Williams. */
#ifndef FCI_LAWS_DARCY_H
#define FCI_LAWS_DARCY_H

#include "flushcalc.h"

/* Darcy (not Fanning) friction factor of a pipe running full: Colebrook-White
 * for turbulent flow, 64/re below a Reynolds number of 2,300; between 2,300
 * and 4,000 flow may be either, and the turbulent, higher one is taken.
 * `re` above 0; `roughness` relative to the bore, 0 to 0.05.  FC_ENOMEM. */
fc_status fci_darcy_factor(double re, double roughness, double *factor);

/* Loss [Pa] of water at t degC at a flow [m3/s] above 0 through a pipe of
 * `bore`, `length` (with fittings) and `roughness` [m]. */
fc_status fci_darcy_loss(double t, double flow, double bore, double length,
                         double roughness, double *loss);

#endif
