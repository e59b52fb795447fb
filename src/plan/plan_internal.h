/* SPDX-License-Identifier: Apache-2.0
 *
 * What the files of plan share. Reading has two steps: the document is held against the table of members
 * (plan_check.c), then values are taken from it (plan_read.c, plan_notes.c). The second step takes what is missing or
 * wrong as absent: the first has told of it.
 */
#ifndef TW_PLAN_INTERNAL_H
#define TW_PLAN_INTERNAL_H

#include <tallwide/plan.h>

/* The rows of one object in the table. */
typedef struct twi_section {
    const tw_plan_field *fields;
    size_t count;
    bool lines; /* some row starts a line */
} twi_section;

twi_section twi_plan_section(const char *where);
const tw_plan_field *twi_plan_field(twi_section section, tw_str name);

/* Where the objects in a member stand in the table: "notes[]" + "regions" gives "notes[].regions[]". NULL when the
 * member holds no objects of the table. */
const char *twi_plan_inside(const tw_plan_field *field);

/* Does the value have the field's type? */
bool twi_plan_fits(const tw_plan_field *field, const tw_json *value);

typedef struct twi_plan_job {
    tw_arena *arena;
    tw_diags *diags;
    tw_plan *plan;
    tw_rate rate; /* for source times where no source says one */
    bool drop;
    bool *told;       /* by clock of the plan: that it is not the one of the notes */
    bool rate_missed; /* told once */
    tw_str *names;    /* of the deliveries, in byte order */
    twi_section note, region;
} twi_plan_job;

/* Adds a finding at a value. The place is worked out only for what will be shown. */
void twi_plan_tell(const twi_plan_job *job, int code, const tw_json *value, const char *format, ...) TW_PRINTF(4, 5);

/* Holds an object and all in it against the table. */
void twi_plan_check(const twi_plan_job *job, const tw_json *object, const char *where);

/* A name and where it stands; calls tell for every one that came before. Sorts the rows. */
typedef struct twi_named {
    tw_str name;
    const tw_json *at;
    uint32_t scope; /* offset of the object that holds it: names in different ones may be the same */
} twi_named;
void twi_plan_repeats(const twi_plan_job *job, twi_named *rows, size_t count, int code, const char *what);

/* Values by member name; the default when absent or of another type. */
double twi_plan_number(const tw_json *object, const char *name, double otherwise);
tw_str twi_plan_text(const tw_json *object, const char *name);
bool twi_plan_flag(const tw_json *object, const char *name, bool otherwise);
int twi_plan_choice(twi_section section, const tw_json *object, const char *name, int otherwise);
size_t twi_plan_list(const tw_json *object, const char *name, const tw_json **first);

/* Makes plan->by_reel from plan->sources. */
void twi_plan_index(tw_arena *arena, tw_plan *plan);

/* The clock of a note: how its times are read. */
typedef struct twi_clock {
    tw_rate rate;
    bool drop;
    bool has_in; /* bare numbers count from here */
    int64_t in;
    size_t other; /* of the plan's clocks: one of the reel that counts otherwise; SIZE_MAX: none */
} twi_clock;

/* ---- plan_clock.c ---- */

twi_clock twi_plan_clock(const twi_plan_job *job, tw_str reel);
twi_clock twi_plan_media_clock(const twi_plan_job *job, const tw_source *source, tw_str reel); /* of a source's file */

/* Puts in what "edit" says of its own. */
void twi_plan_take_clock(const tw_json *json, tw_rate own, bool own_drop, tw_rate *rate, bool *drop);

/* Tells, once, that clips of the reel count otherwise than the time that is read. */
void twi_plan_tell_others(twi_plan_job *job, const twi_clock *clock, const tw_json *time);

/* ---- plan_times.c ---- */

/* A time of the file as a source frame: time code, or a bare number of frames from the clock's in. */
bool twi_plan_time(twi_plan_job *job, const twi_clock *clock, const tw_json *value, int64_t *frame);

/* Fills the files of every source; sources must have been indexed. */
void twi_plan_media(twi_plan_job *job);

/* [width, height], or {0,0}. */
tw_size twi_plan_size(const tw_json *size);
tw_json *twi_plan_new_size(tw_arena *arena, tw_size size); /* plan_media.c: and back */

/* As a starter plan has it: the label of a source frame. */
void twi_plan_set_media(tw_arena *arena, tw_json *object, const tw_source *source, tw_rate rate, bool drop);

void twi_plan_notes(twi_plan_job *job, const tw_json *root);

/* Clips a box of fractions to the picture. False when nothing is left; *clipped is set when something was cut off. */
bool twi_plan_clip(tw_region_key *box, bool *clipped);

#endif
