"""The interface in a browser window, for whoever has no terminal that shows colours truly.

It is served on this computer alone unless an address is asked for, to whoever comes first with a link that
opens once; it ends when the window is closed.
"""
