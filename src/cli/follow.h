/* SPDX-License-Identifier: Apache-2.0
 *
 * Between the files of the command `follow`: which notes, what is in their pictures, what is written.
 */
#ifndef TW_CLI_FOLLOW_H
#define TW_CLI_FOLLOW_H

#include "media.h"

#define FOLLOW_WIDE 960 /* pixels at which subjects are followed */

/* A region to follow. */
typedef struct followed_region {
    const tw_region *region;
    size_t index; /* in the note */
    tw_str name;  /* of its table, as the plan says it */
} followed_region;

/* A note, the stretch of a file it speaks of, and what came of it. */
typedef struct followed_note {
    const tw_note *note;
    const tw_source *source;
    const tw_media_info *info;
    tw_rate rate; /* of the note's times */
    bool drop;
    int64_t start;        /* source frame of the first picture followed */
    int64_t before;       /* frames of the note before that */
    int64_t first, count; /* frames of the file */
    followed_region *regions;
    size_t region_count;
    const char *motion; /* path of the table of the camera's movement */
    bool done;
    tw_follow_scale scale;
    tw_follow_subject *subjects;
    tw_followed out;
} followed_note;

typedef struct following {
    cli *app;
    project p;
    library lib;
    followed_note *notes;
    size_t count;
    int64_t frames;         /* of all notes */
    struct meter *progress; /* NULL: not following */
} following;

/* follow_pick.c: the notes and regions wanted that can be followed, with their files. */
exit_code follow_pick(following *f);

/* follow_run.c: follows all of them, several at a time. */
exit_code follow_run(following *f);

/* follow_put.c: tables and plan, all or nothing; and what there is to say. */
exit_code follow_put(following *f);
void follow_tell(following *f);

/* Where a file named in the new plan lies. */
const char *follow_path(const following *f, tw_str name);

/* Puts the files of the set and the plan of this document in their places, all or nothing. */
exit_code follow_commit(following *f, tw_fileset *set, tw_json *root);

/* follow_propose.c: new notes for shots that have no region. */
exit_code follow_propose(following *f);

#endif
