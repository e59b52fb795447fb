/* SPDX-License-Identifier: Apache-2.0
 *
 * Shared between the files that read SMIL.
 */
#ifndef TW_SMIL_READ_H
#define TW_SMIL_READ_H

#include "smil_internal.h"

/* What is not taken into the model. */
typedef enum twi_smil_passed {
    TWI_SMIL_MOVE,
    TWI_SMIL_REGION,
    TWI_SMIL_TRANSITION,
    TWI_SMIL_PARAM,
    TWI_SMIL_ATTRIBUTE,
    TWI_SMIL_META,
    TWI_SMIL_ELEMENT,
    TWI_SMIL_PASSED
} twi_smil_passed;

typedef struct twi_smil_named {
    tw_str id;
    const tw_xml_node *node;
} twi_smil_named;

typedef struct twi_smil_reader {
    tw_arena *arena;
    tw_diags *diags;
    tw_xml_doc doc;
    tw_timeline *timeline;
    tw_size stage;
    uint32_t items;              /* read so far */
    int nests;                   /* around what is read */
    twi_smil_named *transitions; /* of the head, by id */
    size_t transition_count;
    struct {
        size_t count;
        const tw_xml_node *node; /* the first, */
        tw_str name;             /* and what is meant of it */
    } passed[TWI_SMIL_PASSED];
    bool failed;
} twi_smil_reader;

void twi_smil_fault(twi_smil_reader *r, const tw_xml_node *node, int code, const char *what, tw_str text);

/* Is the name among the words, the last of which is NULL? */
bool twi_smil_one_of(tw_str name, const char *const *words);

tw_str twi_smil_param(const tw_xml_node *node, const char *name);

/* False where there is none, or it was told that it cannot be read. */
bool twi_smil_frames(twi_smil_reader *r, const tw_xml_node *node, const char *name, int64_t *out);
bool twi_smil_clock_of(twi_smil_reader *r, const tw_xml_node *node, const char *name, int64_t *ms);

tw_time twi_smil_frame_at(const twi_smil_reader *r, int64_t ms);

/* Milliseconds: from when it could begin to when it does, of one play, of all plays. -1: nothing says how long. */
typedef struct twi_smil_span {
    int64_t begin, simple, active;
    bool repeats;
    bool exact; /* frames say it instead: the rest is zero */
} twi_smil_span;

/* `natural`: how long it is by itself, or -1. */
twi_smil_span twi_smil_span_of(twi_smil_reader *r, const tw_xml_node *node, int64_t natural);

/* Looks up what the head defines; then, of a clip: does anything lead into it, or out of it into nothing? The item gets
 * name and offsets. */
void twi_smil_transitions(twi_smil_reader *r, const tw_xml_node *head);
bool twi_smil_lead_in(twi_smil_reader *r, const tw_xml_node *node, tw_item *item);
bool twi_smil_lead_out(twi_smil_reader *r, const tw_xml_node *node, tw_item *item);

/* Counts what is passed over, in the head and in clips, and tells it at last. */
void twi_smil_pass(twi_smil_reader *r, twi_smil_passed what, const tw_xml_node *node, tw_str name);
void twi_smil_look_at_head(twi_smil_reader *r, const tw_xml_node *head);
void twi_smil_look_at_clip(twi_smil_reader *r, const tw_xml_node *node, bool framed);
void twi_smil_tell_passed(twi_smil_reader *r);

/* Gives the clip its framing, if it has one. */
void twi_smil_framing(twi_smil_reader *r, const tw_xml_node *node, tw_item *item);

#endif
