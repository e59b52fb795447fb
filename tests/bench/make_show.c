/* SPDX-License-Identifier: Apache-2.0
 *
 * make_show SHOTS otio|edl: puts a made-up show into the current folder, show.otio or show.edl and show.plan.json.
 */
#include "show.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static bool put(const char *path, tw_str text)
{
    FILE *f = fopen(path, "wb");
    bool fine = f != NULL && fwrite(text.at, 1, text.len, f) == text.len;
    return f != NULL && fclose(f) == 0 && fine;
}

int main(int argc, char **argv)
{
    if (argc != 3 || atol(argv[1]) < 1) {
        fprintf(stderr, "usage: make_show SHOTS otio|edl\n");
        return 2;
    }
    tw_arena *arena = tw_arena_new(NULL, NULL);
    const show s = {atol(argv[1]), strcmp(argv[2], "edl") == 0, 1};
    const char *name = s.list ? "show.edl" : "show.otio";
    bool fine = put(name, show_master(arena, &s)) && put("show.plan.json", show_plan(arena, &s, name));
    tw_arena_free(&arena);
    return fine ? 0 : 1;
}
