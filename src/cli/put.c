/* SPDX-License-Identifier: Apache-2.0
 *
 * What commands write, other than the files of a fork.
 */
#define _POSIX_C_SOURCE 200809L
#include "cli.h"

#include <errno.h>
#include <string.h>
#include <sys/stat.h>

#define TELLING ((size_t)1 << 18) /* what is told when files stand in their places takes no memory then */

exit_code put_files(cli *app, tw_fileset *set)
{
    tw_str why;
    tw_arena_reserve(app->arena, TELLING);
    tw_status status = tw_fileset_commit(set, &why);
    if (status != TW_OK)
        say_failed(app, why);
    return status == TW_ERR_SEMANTIC ? EXIT_USAGE : code_of(status);
}

bool put_is_stdout(const char *path)
{
    return path == NULL || strcmp(path, "-") == 0;
}

bool put_replaces(const char *path)
{
    struct stat st;
    return !put_is_stdout(path) && stat(path, &st) == 0 && S_ISREG(st.st_mode) && st.st_size > 0;
}

bool put_may_tell(const cli *app, const char *path)
{
    return !app->set.quiet && !app->set.json && !put_is_stdout(path);
}

exit_code put_text(cli *app, const char *path, tw_str text, const char *const *inputs, size_t input_count)
{
    if (put_is_stdout(path)) {
        tw_buf_add(&app->out, text);
        return EXIT_FINE;
    }
    tw_fileset *set = tw_fileset_new(app->arena);
    for (size_t i = 0; i < input_count; i++)
        tw_fileset_protect(set, inputs[i]);
    tw_fileset_add(set, path, text);
    return put_files(app, set);
}

exit_code put_folder(const char *folder)
{
    if (mkdir(folder, 0777) == 0 || errno == EEXIST)
        return EXIT_FINE;
    say_error("cannot make the folder %s: %s", folder, strerror(errno));
    return EXIT_IO;
}
