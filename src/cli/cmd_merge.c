/* SPDX-License-Identifier: Apache-2.0
 *
 * Three-way merge of plans; a git merge driver is "tallwide merge -o %A %O %A %B".
 */
#include "cmd.h"
#include "project.h"

/* An empty file is what git gives as the base of a file both branches added. */
static exit_code load_version(cli *app, const char *path, tw_json_doc *doc)
{
    tw_str bytes;
    *doc = (tw_json_doc){.root = NULL};
    exit_code code = load_bytes(app, path, &bytes);
    return code != EXIT_FINE || bytes.len == 0 ? code : load_tree(app, path, bytes, doc);
}

exit_code cmd_merge(cli *app)
{
    tw_json_doc docs[3];
    for (int i = 0; i < 3; i++) {
        exit_code code = load_version(app, app->args[i], &docs[i]);
        if (code != EXIT_FINE)
            return code;
        if (i > 0 && docs[i].root == NULL) {
            say_error("%s is empty: there is nothing to merge", app->args[i]);
            return EXIT_INPUT;
        }
    }
    tw_merged merged;
    tw_recut_merge(app->arena, docs[0].root, docs[1].root, docs[2].root, &merged);
    exit_code code = plan_put(app, merged.root, docs[1].bytes, app->args[1]);
    if (code != EXIT_FINE)
        return code;
    for (size_t i = 0; i < merged.conflict_count; i++)
        tw_diag_add(app->diags, 1801, NULL, "both sides changed %.*s; both are kept under \"conflict\"",
                    TW_ARG(merged.conflicts[i]));
    return merged.conflict_count > 0 ? EXIT_FINDINGS : EXIT_FINE;
}
