/* SPDX-License-Identifier: Apache-2.0
 *
 * Looking ahead along straight lines: one more keyframe.
 */
#ifndef TW_PATH_LOOK_H
#define TW_PATH_LOOK_H

#include "reach.h"

/* Everything that one more keyframe reaches from what `layer` keyframes reach; false when there is nothing new. Half
 * done where s->work gets beyond s->most_work. */
bool twi_look_layer(twi_reach *s, uint32_t layer);

/* Does one more keyframe get to B? Nothing else is looked for and noted: s->met. */
bool twi_look_end(twi_reach *s, uint32_t layer);

#endif
