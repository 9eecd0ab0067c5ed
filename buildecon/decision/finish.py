"""Half-way through: what finishing must bring. Money already spent does not enter."""

import numpy as np


def break_even_finished_value(cost_left, as_is_net, selling_cost_share):
    """Finished value at which finishing and selling brings as much as selling as it stands.

    Parameters
    ----------
    cost_left : array_like, shape (...)
        Still to come. [money]
    as_is_net : array_like, shape (...)
        What selling as it stands would bring, selling cost taken off. [money]
    selling_cost_share : array_like, shape (...)
        Share of the finished price that selling takes. [-]

    Returns
    -------
    ndarray or float, shape (...)
        (cost left + as is) / (1 - share). [money]
    """
    return (np.asarray(cost_left, dtype=float) + as_is_net)[()] / (1 - np.asarray(selling_cost_share, dtype=float))[()]
