"""HiGHS, loaded when it is first needed and set up once for the whole process.

It leaves out every model; those are built where they are solved.
"""

from typing import Any

_threads: list[int] = []


def quiet_model(*, threads: int = 1) -> Any:
    """An empty HiGHS model that prints nothing and leaves no relative gap.

    Args:
        threads: used by every model of this process; only the first call decides.

    Returns:
        A `highspy.Highs`.
    """
    import highspy

    usual: Any = highspy.Highs

    def enable_silently(model: Any) -> None:
        # the usual model prints a banner here, while it is still being made
        model.setOptionValue("output_flag", False)
        usual.enableCallbacks(model)

    silent: Any = type("SilentHighs", (usual,), {"enableCallbacks": enable_silently})
    if not _threads:
        _threads.append(threads)
    model = silent()
    model.setOptionValue("threads", _threads[0])
    model.setOptionValue("mip_rel_gap", 0.0)
    return model
