namespace OilWatch.Mqtt.Linking;

/// <summary>One connection to a broker, from the first word to the last.</summary>
internal interface IBrokerLink : IAsyncDisposable
{
    /// <summary>Why the connection is lost; null while it is not.</summary>
    string? Lost { get; }

    /// <summary>Connects.</summary>
    /// <param name="lost">Called when the connection is lost later on.</param>
    /// <param name="stop">Gives up.</param>
    /// <exception cref="BrokerException">It did not work.</exception>
    Task ConnectAsync(Action lost, CancellationToken stop);

    /// <summary>Sends a message, and waits until the broker has it where it must arrive.</summary>
    /// <exception cref="BrokerException">The broker has not got it, as far as is known.</exception>
    Task PublishAsync(OutgoingMessage message, CancellationToken stop);

    /// <summary>Says goodbye, so that the last will is not said.</summary>
    Task DisconnectAsync();
}
